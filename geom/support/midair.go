package support

import (
	"cmp"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/field"
	"conewright/geom/mesh"
	"conewright/geom/zone"
)

// Start is a place where a shell begins in mid-air.
type Start struct {
	At     r3.Vec  // real (unwarped): the lowest point of the new piece, one of them if it's a ring or a flat
	Height float64 // z + f there, mm
	Rise   float64 // how far the piece rises before it merges with another, or to its own top, mm
	Merges bool    // false: it is a piece for itself to the end
}

// MidairStarts returns where, in the shells of f, the part of zone m begins
// with nothing under it: the local minima of z + f at which solid is born,
// which rise at least half a layer height before they merge with another piece
// and begin at least that much above the base. A ring or flat counts once.
// Starts come lowest first.
//
// m is the zone's mesh in place on the bed, refined so finely that its warped
// facets follow f (geom/warp), but not lifted; base is the zone's (nil: made
// here from m); layer is the planar layer height, mm.
//
// The minima are those of a piecewise linear height function, paired with the
// heights at which their pieces merge by one sweep over the sorted vertices
// with union-find (Edelsbrunner and Harer, Computational Topology, VII: 0th
// persistence; from memory). Solid is born at a minimum where the angle-weighted
// normal points down: the minimum is the surface's closest point to a point
// straight below, and that normal then tells outside from inside (Baerentzen
// and Aanaes, Signed Distance Computation Using the Angle Weighted Pseudonormal,
// 2005; from memory).
func MidairStarts(m *mesh.Mesh, f *field.Field, base *zone.Base, layer float64) []Start {
	if len(m.Facets) == 0 {
		return nil
	}
	if base == nil {
		base = zone.NewBase(m)
	}
	s := newSweep(m, f)
	s.findMinima()
	s.run(layer / 2)
	return s.offBase(base, layer/2)
}

// noise is a difference of height, mm, that means nothing: of two minima that
// differ by less, that one counts at which solid is born. Part files round to
// 1e-5 mm, and slivers can turn over by that much.
const noise = 1e-4

// offBase drops starts that are less than least above the base, or inside
// another body, and sorts the rest.
func (s *sweep) offBase(base *zone.Base, least float64) []Start {
	var out []Start
	for _, c := range s.starts {
		z, _, _ := base.Height(c.At.X, c.At.Y, c.At.Z)
		if c.At.Z-z < least || !s.single && s.buried(c) {
			continue
		}
		out = append(out, c)
	}
	slices.SortFunc(out, func(a, b Start) int {
		return cmp.Or(cmp.Compare(a.Height, b.Height), cmp.Compare(a.At.X, b.At.X), cmp.Compare(a.At.Y, b.At.Y), cmp.Compare(a.At.Z, b.At.Z))
	})
	return out
}

// buried reports whether what lies just under a start is solid: it began inside
// another body that overlaps it, or on one that it touches. That is so where a
// line straight down from there leaves solid more often than it enters.
func (s *sweep) buried(c Start) bool {
	const (
		below = 1e-3 // mm: more than bodies that touch are apart
		aside = 1e-6 // mm: so that the line doesn't run through vertices and edges of a round grid
	)
	p := r2.Vec{X: c.At.X + 0.83*aside, Y: c.At.Y + 0.47*aside}
	winding := 0
	for _, t := range s.mesh.Facets {
		a, b, d := s.mesh.Vertices[t[0]], s.mesh.Vertices[t[1]], s.mesh.Vertices[t[2]]
		if max(a.X, b.X, d.X) < p.X || min(a.X, b.X, d.X) > p.X || max(a.Y, b.Y, d.Y) < p.Y || min(a.Y, b.Y, d.Y) > p.Y {
			continue
		}
		u, v, w := turnOf(b, d, p), turnOf(d, a, p), turnOf(a, b, p)
		if !(u > 0 && v > 0 && w > 0 || u < 0 && v < 0 && w < 0) {
			continue
		}
		h := (u*s.height[t[0]] + v*s.height[t[1]] + w*s.height[t[2]]) / (u + v + w)
		if h >= c.Height-below {
			continue
		}
		if u > 0 { // faces up: leaving solid upward
			winding--
		} else {
			winding++
		}
	}
	return winding > 0
}

// turnOf is twice the area of a, b, p in plan.
func turnOf(a, b r3.Vec, p r2.Vec) float64 {
	return (b.X-a.X)*(p.Y-a.Y) - (b.Y-a.Y)*(p.X-a.X)
}
