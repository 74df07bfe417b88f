// Package suggest proposes plans for a part: into which zones to cut it and
// which lift field to print each with, so that as little as possible of it is
// unsupported and no shell begins in mid-air.
//
// A plan's cost is its unsupported area, as a share of that in level layers,
// plus a weight for each mid-air start and each zone; what the head can't do
// is no plan. The search is quick and rough: the part's surface is surveyed
// once for each candidate field, and level cuts are chosen by dynamic
// programming over heights. What it finds is then cut and judged exactly
// (geom/zone, geom/overhang), and found wanting or not: the figures of a plan
// are always those of its own zones.
//
// Lengths are mm, positions those of the bed. Angles in a Plan are degrees.
package suggest

import (
	"context"
	"errors"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"conewright/geom/field"
	"conewright/geom/machine"
	"conewright/geom/mesh"
	"conewright/geom/zone"
)

// MaxPlans is how many plans are offered at most.
const MaxPlans = 5

// Options say what a plan is for. Card must be given; of the rest, zero stands
// for what a job has by default.
type Options struct {
	Card        *machine.Card
	Shell       float64 // thickness of a shell square to it, mm; 0: 0.2
	Bead        float64 // width of a bead, mm; 0: 0.45
	OverhangDeg float64 // greatest overhang from the shell's normal, degrees; 0: 45
	Tolerance   float64 // of the warped mesh on which starts are counted, mm; 0: 0.02
}

func (o Options) filled() (Options, error) {
	for _, d := range []struct {
		v     *float64
		given float64
	}{{&o.Shell, 0.2}, {&o.Bead, 0.45}, {&o.OverhangDeg, 45}, {&o.Tolerance, 0.02}} {
		if *d.v == 0 {
			*d.v = d.given
		}
		if !(*d.v > 0 && *d.v < 1e4) {
			return o, errors.New("suggest: shell, bead, overhang and tolerance must be finite and above zero")
		}
	}
	if o.Card == nil {
		return o, errors.New("suggest: needs a machine card")
	}
	return o, nil
}

// Kind names a kind of field that is suggested.
type Kind uint8

// The kinds of field that are suggested.
const (
	Level Kind = iota
	Cone
	Ramp
	Ridge
)

// Field is a lift field in a job's terms.
type Field struct {
	Kind      Kind
	Inward    bool     // cone, ridge
	AngleDeg  float64  // cone, ramp, ridge
	Axis      r2.Vec   // cone
	TowardDeg float64  // ramp: azimuth of the gradient
	Line      []r2.Vec // ridge: two points or more
}

// Lift returns the field for computing.
func (f Field) Lift() field.Field {
	angle := f.AngleDeg * math.Pi / 180
	switch f.Kind {
	case Cone:
		return field.NewCone(angle, f.Inward, f.Axis, 0)
	case Ramp:
		return field.NewRamp(angle, f.TowardDeg*math.Pi/180)
	case Ridge:
		return field.NewRidge(angle, f.Inward, f.Line, 0)
	}
	return field.Field{}
}

// rounded returns f with the digits that a person would write, so that what is
// judged is what is offered.
func (f Field) rounded() Field {
	to := func(v, step float64) float64 { return math.Round(v/step) * step }
	f.AngleDeg = tidy(to(f.AngleDeg, 0.1))
	f.TowardDeg = tidy(to(f.TowardDeg, 0.1))
	place := func(p r2.Vec) r2.Vec { return r2.Vec{X: tidy(to(p.X, 0.01)), Y: tidy(to(p.Y, 0.01))} }
	f.Axis = place(f.Axis)
	if f.Line != nil {
		line := make([]r2.Vec, len(f.Line))
		for i, p := range f.Line {
			line[i] = place(p)
		}
		f.Line = line
	}
	return f
}

// tidy drops the binary dust that a multiple of a decimal step carries.
func tidy(v float64) float64 { return math.Round(v*1e6) / 1e6 }

// Node is a tree of zones: a leaf has a Name and a Field, an inner node a Cut.
type Node struct {
	Name        string
	Field       Field
	Cut         *zone.Plane
	Under, Over *Node
}

// Leaves returns the zones in printing order.
func (n *Node) Leaves() []*Node {
	if n.Cut == nil {
		return []*Node{n}
	}
	return append(n.Under.Leaves(), n.Over.Leaves()...)
}

// tree returns the cuts alone.
func (n *Node) tree() *zone.Node {
	if n.Cut == nil {
		return &zone.Node{Name: n.Name}
	}
	return &zone.Node{Cut: n.Cut, Under: n.Under.tree(), Over: n.Over.tree()}
}

// Plan is a proposal, with what judging its own zones came to.
type Plan struct {
	Zones   *Node
	Figures Figures
	Why     string // one sentence
}

// Figures are what a plan comes to.
type Figures struct {
	OverhangArea float64 // unsupported, mm2
	LevelArea    float64 // the same part in level layers, mm2
	MidairStarts int
	LevelStarts  int
	Zones        int
	Shells       int     // planar layers with something in them, of all zones
	WarpedHeight float64 // of the tallest warped zone, mm
	OffSquareDeg float64 // greatest angle of the nozzle off square
	HeadDepth    float64 // how deep the head would reach into what is printed, mm; 0: it clears
	HeadHints    []string
}

// meets reports whether the figures are what a first plan must have: no start,
// and at least 90 % less unsupported area than level layers.
func (f *Figures) meets() bool {
	return f.MidairStarts == 0 && f.HeadDepth == 0 && f.OverhangArea <= wantedShare*f.LevelArea+noArea
}

// wantedShare is what a first plan may leave unsupported of what level layers
// do.
const wantedShare = 0.1

// noArea is unsupported area, mm2, that isn't worth a word: less than one bead
// of one layer.
const noArea = 0.5

// Plans returns up to MaxPlans plans for the part m, closed and seated on the
// bed, best first. There is always one at least. progress may be nil. Same
// input, same plans, on any number of processors.
func Plans(ctx context.Context, m *mesh.Mesh, o Options, progress func(done float64)) ([]Plan, error) {
	o, err := o.filled()
	if err != nil {
		return nil, err
	}
	if len(m.Facets) == 0 {
		return nil, errors.New("suggest: the part has no facets")
	}
	if progress == nil {
		progress = func(float64) {}
	}
	s, err := newSearch(ctx, m, o, progress)
	if err != nil {
		return nil, err
	}
	plans, err := s.plans(ctx)
	if err != nil {
		return nil, err
	}
	s.explain(plans)
	progress(1)
	return plans, nil
}
