// Package hidden parts lines on a solid into what a viewer sees and what the
// solid hides, for parallel projections.
//
// It filters paths of ln by an ln.Filter of its own: where ln chops a path
// finely and keeps the points that are seen, this samples it at a step, halves
// the stretch where the answer changes until it is known precisely, and keeps
// the hidden stretches too.
package hidden

import (
	"context"
	"math"

	"conewright/geom/parallel"
	"conewright/render/depth"
	"conewright/render/solid"

	"github.com/fogleman/ln/ln"
	"gonum.org/v1/gonum/spatial/r3"
)

// Path is a line on the surface of a solid. Normals is nil or holds for each
// of its segments the way out of the solid.
type Path struct {
	Points  []r3.Vec
	Normals []r3.Vec
	// InFacets tells that each segment runs within one facet and Normals are
	// those of the facets: what is turned away from the viewer is hidden
	// without a ray.
	InFacets bool
}

// Look tells how the solid is looked at.
type Look struct {
	Toward    r3.Vec  // at the viewer; unit length
	Step      float64 // greatest distance of samples, mm of the part; > 0
	Precision float64 // within which an end of a visible stretch is found, mm of the part; > 0
	Section   *Section
	Window    Window
	// Depths may hold the solid as it is looked at: it spares most rays. nil:
	// all are cast. It is of no use with a section.
	Depths *depth.Map
	// Loose lets Depths judge edges too, of which they are less sure: for what moves.
	Loose bool
}

// Section is a plane y = Y in front of which all is cut away, seen along +y.
type Section struct {
	Y      float64
	Inside func(x, z float64) bool // whether the plane runs through material there
}

// Parts are the stretches of a path, in its order.
type Parts struct {
	Visible, Hidden ln.Paths
}

// Split parts every path, several at a time. The result has an entry for each
// path, whatever the number of workers.
func Split(s *solid.Solid, paths []Path, look Look) []Parts {
	f := NewFilter(s, look)
	parts := make([]Parts, len(paths))
	parallel.Loop{}.Run(context.Background(), len(paths), func() func(int) error {
		var w walker
		return func(i int) error {
			parts[i] = w.splitSeen(f, &paths[i], &look.Window)
			return nil
		}
	})
	return parts
}

// Filter tells which points on a solid are seen.
type Filter struct {
	caster          solid.Caster
	toward          r3.Vec
	closed          bool
	off             r3.Vec // from the surface toward the viewer
	out             float64
	step, precision float64
	section         *Section
	depths          *depth.Map
	loose           bool
}

var _ ln.Filter = (*Filter)(nil)

// A sample is lifted off the surface before its ray starts, lest it meet the
// facets on which it lies: by towardShare of the solid's size toward the
// viewer, and by outShare along the normal, where known, which settles lines
// that look along a wall. Both are far less than a line is wide on paper.
const (
	towardShare = 2e-5
	outShare    = 1e-5
)

// NewFilter returns a filter for the given look.
func NewFilter(s *solid.Solid, look Look) *Filter {
	return &Filter{
		caster:  s.Toward(look.Toward),
		toward:  look.Toward,
		closed:  s.Closed,
		off:     r3.Scale(s.Size()*towardShare, look.Toward),
		out:     s.Size() * outShare,
		section: look.Section, depths: look.Depths, loose: look.Loose,
		step: look.Step, precision: look.Precision,
	}
}

// Filter returns v and whether it is seen.
func (f *Filter) Filter(v ln.Vector) (ln.Vector, bool) {
	return v, f.Sees(r3.Vec(v), r3.Vec{})
}

// Sees reports whether the point p on the surface is seen; normal is the way
// out of the solid, or zero where it isn't known.
func (f *Filter) Sees(p, normal r3.Vec) bool {
	var guess int32
	return f.sees(p, normal, &guess)
}

func (f *Filter) sees(p, normal r3.Vec, guess *int32) bool {
	p = f.lifted(p, normal)
	if f.section == nil {
		return !f.caster.MeetsAgain(p, math.Inf(1), guess)
	}
	if f.caster.MeetsAgain(p, p.Y-f.section.Y, guess) {
		return false
	}
	return !f.section.Inside(p.X, p.Z)
}

// lifted returns where the ray of a point on the surface starts.
func (f *Filter) lifted(p, normal r3.Vec) r3.Vec {
	return r3.Add(p, r3.Add(f.off, r3.Scale(f.out, normal)))
}
