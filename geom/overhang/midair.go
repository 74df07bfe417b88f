package overhang

import (
	"cmp"
	"context"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/field"
	"conewright/geom/mesh"
	"conewright/geom/section"
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
	carried := s.carried(least)
	var out []Start
	for i, c := range s.starts {
		z, _, _ := base.Height(c.At.X, c.At.Y, c.At.Z)
		if c.At.Z-z < least || carried[i] {
			continue
		}
		out = append(out, c)
	}
	slices.SortFunc(out, func(a, b Start) int {
		return cmp.Or(cmp.Compare(a.Height, b.Height), cmp.Compare(a.At.X, b.At.X), cmp.Compare(a.At.Y, b.At.Y), cmp.Compare(a.At.Z, b.At.Z))
	})
	return out
}

// carried reports which starts are none because another body carries them: they
// begin inside a body that overlaps theirs, or on one that theirs touches, or
// grow together with one within least. That is so where the region that a start
// has grown to lies over something that was solid just below its beginning.
func (s *sweep) carried(least float64) (carried []bool) {
	carried = make([]bool, len(s.starts))
	if s.single || len(s.starts) == 0 {
		return carried
	}
	warped := &mesh.Mesh{Facets: s.mesh.Facets, Vertices: make([]r3.Vec, len(s.mesh.Vertices))}
	for i := range warped.Vertices {
		warped.Vertices[i] = s.warped(int32(i))
	}
	var heights []float64
	for _, c := range s.starts {
		heights = append(heights, c.Height-outside, c.Height+least)
	}
	slices.Sort(heights)
	heights = slices.Compact(heights)
	sections, err := section.Sections(context.Background(), warped, heights)
	if err != nil {
		return carried
	}
	at := func(h float64) ([]region, error) {
		i, _ := slices.BinarySearch(heights, h)
		return regionsOf(sections[i].Contours)
	}
	// A start stands unless another body is known to carry it: where the polygons
	// fail, nothing is known.
	for i, c := range s.starts {
		above, err := at(c.Height + least)
		if err != nil {
			continue
		}
		below, err := at(c.Height - outside)
		if err != nil {
			continue
		}
		if grown, ok := nearestRegion(above, r2.Vec{X: c.At.X, Y: c.At.Y}); ok {
			held, err := overlapsAny(grown, below)
			carried[i] = held && err == nil
		}
	}
	return carried
}

// turnOf is twice the area of a, b, p in plan.
func turnOf(a, b r3.Vec, p r2.Vec) float64 {
	return (b.X-a.X)*(p.Y-a.Y) - (b.Y-a.Y)*(p.X-a.X)
}
