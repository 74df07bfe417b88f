// Package warp turns a part's mesh into the warped mesh: refined where the
// lift bends, lifted, and seated on the bed.
//
// Refinement is conforming. Whether and where an edge is cut follows from the
// edge's two ends alone, by the closed form of the gap between lift and chord,
// so that two facets always agree on the edge they share and a closed mesh
// stays closed. Within a facet the pieces follow the lower hull of the lifted
// corners, which strays least from the lift of all triangulations
// (D'Azevedo and Simpson, "On optimal interpolation triangle incidences", SIAM
// J. Sci. Stat. Comput. 10, 1989; named from memory).
package warp

import (
	"context"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/field"
	"conewright/geom/mesh"
	"conewright/geom/message"
)

// MaxFacets bounds the facets of a refined mesh: as a binary STL file, 2.5 GB.
const MaxFacets = 50_000_000

// minTol is the least tolerance, mm: far above what rounding adds to a gap, far
// below what any machine can do.
const minTol = 1e-6

// ErrTooFine tells that a mesh would need more than MaxFacets facets.
var ErrTooFine = message.Errorf("the tolerance is too fine for the part")

// Warp refines m so that no point of a facet strays from the exact warped
// surface by more than tol (mm, > 0), lifts every vertex by f, and lowers the
// mesh by drop so that its lowest point stands at z = 0:
//
//	z' = z + f(x, y) - drop
//
// x and y stay to the last bit. The result doesn't change with the number of
// processors.
func Warp(ctx context.Context, m *mesh.Mesh, f *field.Field, tol float64) (warped *mesh.Mesh, drop float64, err error) {
	refined, err := Refine(ctx, m, f, tol)
	if err != nil {
		return nil, 0, err
	}
	warped, drop = Lift(refined, f)
	return warped, drop, nil
}

// Refine cuts the facets of m, in place on the bed, as finely as f and tol ask
// and not further, without lifting them. The vertices of m come first,
// unchanged; the pieces of a facet stand together, in the order of facets, and
// have its origin. Where nothing is to be cut m itself is returned.
func Refine(ctx context.Context, m *mesh.Mesh, f *field.Field, tol float64) (*mesh.Mesh, error) {
	if err := check(m, tol); err != nil {
		return nil, err
	}
	if f.Linear() {
		return m, nil
	}
	r := &refinement{mesh: m, field: f, tol: tol, limit: MaxFacets}
	return r.run(ctx)
}

func (r *refinement) run(ctx context.Context) (*mesh.Mesh, error) {
	steps := []func(context.Context) error{r.findSuspects, r.cutEdges, r.cutFacets}
	for _, step := range steps {
		if err := step(ctx); err != nil {
			return nil, message.Errorf("refining %d facets: %s", len(r.mesh.Facets), err)
		}
	}
	return r.assemble(ctx)
}

// Lift raises every vertex of m by f and lowers the whole by drop, so that the
// lowest corner of a facet stands at z = 0. The result shares facets and
// origins with m.
func Lift(m *mesh.Mesh, f *field.Field) (lifted *mesh.Mesh, drop float64) {
	vertices := make([]r3.Vec, len(m.Vertices))
	inSpans(len(vertices), func(lo, hi int) int {
		for i := lo; i < hi; i++ {
			vertices[i] = f.Warp(m.Vertices[i])
		}
		return 0
	})
	spans := inSpans(len(m.Facets), func(lo, hi int) float64 {
		least := math.Inf(1)
		for _, t := range m.Facets[lo:hi] {
			least = min(least, vertices[t[0]].Z, vertices[t[1]].Z, vertices[t[2]].Z)
		}
		return least
	})
	drop = math.Inf(1)
	for _, least := range spans {
		drop = min(drop, least)
	}
	if math.IsInf(drop, 1) {
		drop = 0
	}
	inSpans(len(vertices), func(lo, hi int) int {
		for i := lo; i < hi; i++ {
			vertices[i].Z -= drop
		}
		return 0
	})
	return &mesh.Mesh{Vertices: vertices, Facets: m.Facets, Origins: m.Origins}, drop
}

func check(m *mesh.Mesh, tol float64) error {
	if !(tol >= minTol) || math.IsInf(tol, 1) {
		return fmt.Errorf("warping: tolerance %v mm: it must be finite and at least %v", tol, minTol)
	}
	if m.Origins != nil && len(m.Origins) != len(m.Facets) {
		return fmt.Errorf("warping: %d origins for %d facets", len(m.Origins), len(m.Facets))
	}
	bad := inSpans(len(m.Vertices), func(lo, hi int) int {
		for i, v := range m.Vertices[lo:hi] {
			if s := v.X + v.Y + v.Z; s-s != 0 { // NaN or infinite
				return lo + i
			}
		}
		return -1
	})
	for _, i := range bad {
		if i >= 0 {
			return fmt.Errorf("warping: vertex %d is at %v: coordinates must be finite", i, m.Vertices[i])
		}
	}
	n := int32(len(m.Vertices))
	bad = inSpans(len(m.Facets), func(lo, hi int) int {
		for i, t := range m.Facets[lo:hi] {
			if uint32(t[0]) >= uint32(n) || uint32(t[1]) >= uint32(n) || uint32(t[2]) >= uint32(n) {
				return lo + i
			}
		}
		return -1
	})
	for _, i := range bad {
		if i >= 0 {
			return fmt.Errorf("warping: facet %d names vertices %v of %d", i, m.Facets[i], n)
		}
	}
	return nil
}

func plan(v r3.Vec) r2.Vec { return r2.Vec{X: v.X, Y: v.Y} }
