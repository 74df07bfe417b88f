package planner

import (
	"context"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"conewright/geom/mesh"
	"conewright/geom/message"
	"conewright/geom/section"

	"conewright/geom/polygon"
)

// Kind tells what a bead is for.
type Kind uint8

// Kinds of beads.
const (
	Wall    Kind = iota // along an outline
	Gap                 // a thin place where no whole bead fits beside the walls
	Cap                 // solid inside: open above or below, or fill 1
	Fill                // sparse inside
	Support             // of last resort, outside the part
)

func (k Kind) String() string {
	return [...]string{"wall", "gap", "cap", "fill", "support"}[k]
}

// Bead is one stroke of the nozzle.
type Bead struct {
	Path   []r2.Vec
	Closed bool // back to Path[0] at the end, which isn't repeated
	Kind   Kind
	Width  []float64 // planar pitch width at each point of Path, mm; nil: Options.Pitch

	hangs   float64 // length of the longest stretch with nothing under it, mm, from longHang on
	bridges bool    // it holds on the beads at its ends only
}

// Layer is one planar layer: what a nozzle does between two heights.
type Layer struct {
	Z       float64 // top of the layer
	Region  Region  // the mesh's section at mid-height, simplified
	Beads   []Bead  // in printing order
	Support bool    // the beads are support; the tops of columns are a layer for themselves
}

// Motion is the planned motion of one warped mesh.
type Motion struct {
	Layers  []Layer // from below; those without material are left out
	Options Options // as used, defaults filled in
	Open    int     // layers in which the mesh isn't closed: what hangs on open chains is missing
}

// Plan plans the mesh m, which stands on z = 0. It fails on options that make
// no sense, on a mesh that no layer cuts, and when ctx ends. The motion is the
// caller's; m isn't changed.
func Plan(ctx context.Context, m *mesh.Mesh, o Options, progress func(done float64)) (*Motion, error) {
	o, err := o.filled()
	if err != nil {
		return nil, err
	}
	heights, err := layerHeights(m, o.LayerHeight)
	if err != nil {
		return nil, err
	}
	sections, err := section.Sections(ctx, m, heights)
	if err != nil {
		return nil, message.Errorf("planner: %s", err)
	}
	contours := make([]Region, len(sections))
	open := 0
	for i, s := range sections {
		contours[i] = s.Contours
		if s.Open > 0 {
			open++
		}
	}
	motion, err := planSections(ctx, contours, o, progress)
	if motion != nil {
		motion.Open = open
	}
	return motion, err
}

// layerHeights lists the mid-heights of all layers that m reaches.
func layerHeights(m *mesh.Mesh, h float64) ([]float64, error) {
	low, top := math.Inf(1), math.Inf(-1)
	for _, v := range m.Vertices {
		if !(math.Abs(v.X) <= maxExtent && math.Abs(v.Y) <= maxExtent && math.Abs(v.Z) <= maxExtent) {
			return nil, fmt.Errorf("planner: the mesh reaches (%v, %v, %v): it must stay within %v mm of the origin", v.X, v.Y, v.Z, float64(maxExtent))
		}
		low, top = math.Min(low, v.Z), math.Max(top, v.Z)
	}
	count := math.Ceil(top/h - 0.5)
	switch {
	case low < -h/2:
		return nil, fmt.Errorf("planner: the mesh reaches %.3f mm under z = 0: seat it first", -low)
	case !(count >= 1):
		return nil, message.Errorf("%s: %s", message.New("the mesh (%d vertices) is lower than half a layer of %.3f mm", len(m.Vertices), h), message.New("thin the layers"))
	case count > maxLayers:
		return nil, message.Errorf("%s: %s", message.New("%.0f layers are more than %d", count, maxLayers), message.New("thicken the layers"))
	}
	heights := make([]float64, int(count))
	for i := range heights {
		heights[i] = (float64(i) + 0.5) * h
	}
	return heights, nil
}

// planSections plans from sections at mid-heights (i + 0.5) h, from below.
func planSections(ctx context.Context, sections []Region, o Options, progress func(done float64)) (*Motion, error) {
	regions := make([]Region, len(sections))
	step := stages(progress, 0.25, 0.15, 0.5, 0.1)
	err := inParallel(ctx, len(sections), step(0), func(i int) (err error) {
		regions[i], err = polygon.Clean(sections[i])
		return err
	})
	if err != nil {
		return nil, err
	}
	covers, err := coverings(ctx, regions, o, step(1))
	if err != nil {
		return nil, err
	}
	islands := make([][]island, len(regions))
	err = inParallel(ctx, len(regions), step(2), func(i int) (err error) {
		islands[i], err = planLayer(i, regions[i], covers[i], &o)
		return err
	})
	if err != nil {
		return nil, err
	}
	if err := layFootings(ctx, islands, regions, covers, &o); err != nil {
		return nil, err
	}
	motion := &Motion{Options: o}
	order := newOrder(&o)
	columns := o.Support
	for i, r := range regions {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if columns, err = motion.support(order, columns, i, r); err != nil {
			return nil, err
		}
		if beads := order.layer(i, islands[i]); len(beads) > 0 {
			motion.Layers = append(motion.Layers, Layer{Z: float64(i+1) * o.LayerHeight, Region: r, Beads: beads})
		}
		step(3)(float64(i+1) / float64(len(regions)))
	}
	if _, err := motion.support(order, columns, math.MaxInt, nil); err != nil {
		return nil, err
	}
	if len(motion.Layers) == 0 {
		return nil, message.Errorf("nothing in the mesh is wide enough for a bead")
	}
	return motion, nil
}

// island is what is planned for one connected piece of a layer.
type island struct {
	walls [][]Bead // from the outermost inward
	gaps  []Bead
	fill  []Bead // caps and fill
}

// each calls use with every bead of the island.
func (isl *island) each(use func(b *Bead)) {
	for _, level := range isl.walls {
		for k := range level {
			use(&level[k])
		}
	}
	for k := range isl.gaps {
		use(&isl.gaps[k])
	}
	for k := range isl.fill {
		use(&isl.fill[k])
	}
}

// planLayer plans every island of layer i.
func planLayer(i int, r Region, cover cover, o *Options) ([]island, error) {
	var out []island
	r, err := o.reachBase(i, r)
	if err != nil {
		return nil, fmt.Errorf("planner: layer %d: %w", i, err)
	}
	for _, piece := range r.Components() {
		isl, inside, err := walls(piece, o)
		if err == nil {
			isl.fill, err = fillIsland(i, inside, cover, o)
		}
		if err != nil {
			return nil, fmt.Errorf("planner: layer %d: %w", i, err)
		}
		isl.each(func(b *Bead) { o.widenOnBase(b, o.middle(i)) })
		out = append(out, isl)
	}
	return out, nil
}
