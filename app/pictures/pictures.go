// Package pictures brings computation and drawing together: what is drawn of a
// setup and of a run. It is used with and without the window.
package pictures

import (
	"context"
	"math"
	"sort"
	"strings"

	"conewright/geom/deposit"
	"conewright/geom/job"
	"conewright/geom/mesh"
	"conewright/geom/overhang"
	"conewright/render"
	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Scene is what a sheet is made of. Regions may be nil: the part alone.
type Scene struct {
	Setup   *job.Setup
	Model   *job.Model
	Regions []*job.Region
	Log     *job.Log       // of a run; nil: none
	Hangs   []deposit.Hang // of a run: its beads with nothing under them
	Title   string
	Decimal string // decimal sign of the title block; "": a point
	// Overhang and Bridged are what Overhang returns for the regions, where it is
	// known already; the same slices let a drawing be reused.
	Overhang, Bridged [][3]r3.Vec
}

// Judged computes all of a setup that a sheet shows without a run.
func Judged(ctx context.Context, setup *job.Setup) (Scene, error) {
	model, err := job.ReadModel(ctx, setup)
	if err != nil {
		return Scene{}, err
	}
	return JudgedOf(ctx, setup, model)
}

// JudgedOf is Judged of a part that is read already.
func JudgedOf(ctx context.Context, setup *job.Setup, model *job.Model) (Scene, error) {
	scene := Scene{Setup: setup, Model: model, Title: Title(setup)}
	var err error
	if scene.Regions, err = job.Divide(ctx, setup, scene.Model); err != nil {
		return scene, err
	}
	for _, g := range scene.Regions {
		if err := g.Warp(ctx, setup.Tolerance); err != nil {
			return scene, err
		}
		if g.Judged, err = job.Judge(ctx, g, setup.Overhang, job.JudgeLevel(g, setup.Overhang)); err != nil {
			return scene, err
		}
		if err = g.Judged.FindPatches(ctx, g); err != nil {
			return scene, err
		}
	}
	return scene, nil
}

// Input returns the scene as a sheet's input, looked at in the usual way.
func (s Scene) Input() render.Input {
	in := render.Input{
		Mesh: s.Model.Mesh, Parts: parts(s.Setup, s.Model), Cuts: Cuts(s.Setup), Bed: bedOf(s.Setup.Machine.Card), Shell: s.Setup.Shell,
		Fields: render.Fields{
			Title: s.Title, Machine: s.Setup.Machine.Card.Name,
			Zones: zoneNames(s.Setup), Shell: s.number(s.Setup.Shell, 2) + " mm",
		},
	}
	in.Options.Hidden = true
	in.Overhang, in.Bridged = s.Overhang, s.Bridged
	if in.Overhang == nil {
		in.Overhang, in.Bridged = Overhang(s.Regions)
	}
	area, known := 0.0, len(s.Regions) > 0
	for _, g := range s.Regions {
		in.Zones = append(in.Zones, render.Zone{Name: g.Name, Mesh: g.Mesh, Field: g.Field, Points: pointsOf(g.Spec)})
		if g.Judged == nil {
			known = false
			continue
		}
		area += g.Judged.Overhang.Area
		for _, start := range g.Judged.Starts {
			in.MidAir = append(in.MidAir, start.At)
		}
	}
	if known {
		in.Fields.Overhang = number(area, 0) + " mm²"
	}
	in.Hanging = hanging(s.Hangs, math.MaxInt)
	if s.Log != nil {
		for _, f := range s.Log.Findings {
			// Mid-air starts and overhangs are drawn by signs of their own.
			if f.Rank != job.Note && f.At != [3]float64{} && f.Code != "midair-start" && f.Code != "overhang" {
				in.Findings = append(in.Findings, r3.Vec{X: f.At[0], Y: f.At[1], Z: f.At[2]})
			}
		}
	}
	return in
}

// hanging returns what of the hanging beads is laid by a line of the motion file.
func hanging(hangs []deposit.Hang, line int) []render.Hanging {
	var found []render.Hanging
	for i := range hangs {
		h := &hangs[i]
		if laid := sort.Search(len(h.Lines), func(k int) bool { return h.Lines[k] > line }); laid > 1 {
			found = append(found, render.Hanging{Zone: h.Zone, Points: h.Points[:laid]})
		}
	}
	return found
}

// parts returns the parts on the bed.
func parts(s *job.Setup, m *job.Model) []render.Part {
	var list []render.Part
	setups, models := s.Single(), m.Parts()
	for i := range min(len(setups), len(models)) {
		p := render.Part{Mesh: models[i].Mesh, Azimuth: setups[i].Part.Turn[2] * math.Pi / 180}
		if len(s.Parts) > 0 {
			p.Name = s.Parts[i].Name
		}
		list = append(list, p)
	}
	return list
}

// pointsOf returns the points of the line that a field is about.
func pointsOf(f *job.Field) []r2.Vec {
	if f == nil {
		return nil
	}
	var points []r2.Vec
	for _, p := range f.Line {
		points = append(points, r2.Vec{X: p[0], Y: p[1]})
	}
	return points
}

// Cuts lists the cuts in the order of the tree: under before the cut itself
// before over, so that on the bed they go upward.
func Cuts(s *job.Setup) []render.Cut {
	var cuts []render.Cut
	var walk func(z *job.Zone)
	walk = func(z *job.Zone) {
		if z == nil || z.Cut == nil {
			return
		}
		walk(z.Under)
		p := z.Cut.Plane()
		cuts = append(cuts, render.Cut{Point: p.Point, Normal: p.Normal, Label: number(float64(len(cuts)+1), 0)})
		walk(z.Over)
	}
	for _, one := range s.Single() {
		walk(one.Zones)
	}
	return cuts
}

func zoneNames(s *job.Setup) string {
	var names []string
	for _, leaf := range s.Leaves() {
		names = append(names, leaf.Name)
	}
	text := strings.Join(names, ", ")
	if len(names) > 1 {
		text = number(float64(len(names)), 0) + ": " + text
	}
	return text
}

// Overhang returns the unsupported surface of judged regions as triangles; where
// bridges are told from free ends (job.Judgement.FindPatches), apart from these.
func Overhang(regions []*job.Region) (overhang, bridged [][3]r3.Vec) {
	overhang = [][3]r3.Vec{}
	for _, g := range regions {
		switch {
		case g.Judged == nil:
		case g.Judged.Patches == nil:
			overhang = append(overhang, triangles(g.Mesh, &g.Judged.Overhang)...)
		default:
			for i := range g.Judged.Patches {
				overhang = append(overhang, fans(g.Judged.Patches[i].Ends)...)
				bridged = append(bridged, fans(g.Judged.Patches[i].Bridges)...)
			}
		}
	}
	return overhang, bridged
}

// triangles returns the unsupported surface as triangles.
func triangles(m *mesh.Mesh, o *overhang.Unsupported) [][3]r3.Vec {
	var out [][3]r3.Vec
	for _, f := range o.Facets {
		a, b, c := m.Corners(int(f))
		out = append(out, [3]r3.Vec{a, b, c})
	}
	return append(out, fans(o.Pieces)...)
}

// fans returns convex pieces as triangles.
func fans(pieces []overhang.Piece) [][3]r3.Vec {
	var out [][3]r3.Vec
	for _, p := range pieces {
		for i := 2; i < len(p.Corners); i++ {
			out = append(out, [3]r3.Vec{p.Corners[0], p.Corners[i-1], p.Corners[i]})
		}
	}
	return out
}

// Of draws a run's result, as job.Options.Pictures wants it.
func Of(_ context.Context, r *job.Result) (sheet []byte, more []job.Picture, err error) {
	if sheet, err = SVG(Sheet(r)); err != nil {
		return nil, nil, err
	}
	charts, err := Course(r)
	return sheet, append([]job.Picture{{Title: "Sheet", SVG: sheet}}, charts...), err
}

// Sheet draws a run's result.
func Sheet(r *job.Result) *drawing.Drawing {
	in := Scene{Setup: r.Setup, Model: r.Model, Regions: r.Regions, Log: r.Log, Hangs: r.Hangs, Title: Title(r.Setup)}.Input()
	return render.Sheet(in)
}
