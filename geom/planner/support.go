package planner

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"conewright/geom/polygon"
	"conewright/geom/support"
)

// Support is laid as thin upright walls: a bead along the outline of each column, and
// within it a grid whose lines stand on each other from layer to layer. Under what it
// holds the grid is three times as dense.

const (
	// columnSpacing is the distance of a column's lines, mm, and roofSpacing that
	// under what it holds: a bead that crosses the grid on a diagonal goes 1.4 times
	// as far from one line to the next, which must stay under the 5 mm that count as
	// hanging (CONTRACT). One is a multiple of the other, so that lines stand on
	// lines.
	columnSpacing = 3 * roofSpacing
	roofSpacing   = 2.0
	// topRaised is how much higher than its layer a column's top is laid, in layers.
	// A layer is left out between it and the part, whose beads would lie two layers
	// over it: just the most from which they rest on it (CONTRACT). Tolerance and
	// rounded words must not make it more, nor let the two heights be mistaken for
	// each other.
	topRaised = 0.3
	// leastColumnBead is the length of the shortest bead of support, mm.
	leastColumnBead = 0.8
)

// support adds the layers of columns that come before a layer of the part, whose
// region is r, and returns those that are left.
func (m *Motion) support(order *order, columns []support.Layer, before int, r Region) ([]support.Layer, error) {
	for len(columns) > 0 && columns[0].Index < before {
		c := columns[0]
		columns = columns[1:]
		paths, err := m.Options.columnPaths(&c)
		if err != nil {
			return nil, err
		}
		z := (float64(c.Index) + 0.5) * m.Options.LayerHeight
		stands := func(p r2.Vec) bool { return m.Options.Stands == nil || m.Options.Stands(p, z) }
		body := standing(paths, func(p r2.Vec) bool { return stands(p) && !c.Top.Contains(p) })
		tops := standing(paths, func(p r2.Vec) bool { return c.Top.Contains(p) && stands(p) })
		m.lay(order.layer(c.Index, body), float64(c.Index+1), r)
		m.lay(order.layer(c.Index, tops), float64(c.Index+1)+topRaised, r)
	}
	return columns, nil
}

// lay adds a layer of support whose top lies so many layers high.
func (m *Motion) lay(beads []Bead, high float64, r Region) {
	if len(beads) > 0 {
		m.Layers = append(m.Layers, Layer{Z: high * m.Options.LayerHeight, Region: r, Beads: beads, Support: true})
	}
}

// columnPaths returns where the beads of a layer of columns go, a list for each
// column.
func (o *Options) columnPaths(c *support.Layer) ([][]stretch, error) {
	var out [][]stretch
	for _, piece := range c.Centre.Components() {
		inside, err := polygon.Inset(piece, fillInset*o.Pitch)
		if err != nil {
			return nil, err
		}
		roof, err := polygon.Intersect(inside, c.Roof)
		if err != nil {
			return nil, err
		}
		rest, err := polygon.Subtract(inside, roof)
		if err != nil {
			return nil, err
		}
		var list []stretch
		for _, contour := range piece {
			list = append(list, stretch{path: contour, closed: true})
		}
		list = append(list, gridOf(roof, o.Pitch, roofSpacing)...)
		out = append(out, append(list, gridOf(rest, o.Pitch, columnSpacing)...))
	}
	return out, nil
}

// standing returns the beads along paths where they may lie, an island for each
// column.
func standing(columns [][]stretch, may func(p r2.Vec) bool) []island {
	var out []island
	for _, paths := range columns {
		var isl island
		for i := range paths {
			isl.fill = append(isl.fill, paths[i].beads(may)...)
		}
		if len(isl.fill) > 0 {
			out = append(out, isl)
		}
	}
	return out
}

// beads returns the beads of support along a stretch where they may lie.
func (s *stretch) beads(may func(p r2.Vec) bool) []Bead {
	walk := standingWalk{whole: true}
	ends := s.path
	if s.closed {
		ends = append(slices.Clone(s.path), s.path[0])
	}
	for k, b := range ends[1:] {
		a := ends[k]
		steps := max(1, int(math.Ceil(r2.Norm(r2.Sub(b, a))/restStep)))
		for j := range steps {
			p := r2.Add(a, r2.Scale(float64(j)/float64(steps), r2.Sub(b, a)))
			walk.visit(p, j == 0, may(p))
		}
	}
	end := ends[len(ends)-1]
	walk.visit(end, true, may(end))
	walk.end()
	if s.closed && walk.whole && len(walk.beads) > 0 {
		return []Bead{{Path: s.path, Closed: true, Kind: Support}}
	}
	return walk.beads
}

// standingWalk makes beads of the places along a path where support may stand.
type standingWalk struct {
	beads []Bead
	run   []r2.Vec // start and corners of the bead so far
	last  r2.Vec   // its last place
	whole bool     // every place so far was one
}

func (w *standingWalk) visit(p r2.Vec, corner, stands bool) {
	if !stands {
		w.whole = false
		w.end()
		return
	}
	if corner || len(w.run) == 0 {
		w.run = append(w.run, p)
	}
	w.last = p
}

func (w *standingWalk) end() {
	if n := len(w.run); n > 0 && w.run[n-1] != w.last {
		w.run = append(w.run, w.last)
	}
	if polygon.PathLength(w.run, false) >= leastColumnBead {
		w.beads = append(w.beads, Bead{Path: w.run, Kind: Support})
	}
	w.run = nil
}
