package overhang

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/mesh"
)

// Parts are often exported as bodies drawn into one another. What of a body's
// surface lies inside another, or on it, is no surface of the part: nothing
// hangs there.

const (
	// outside is how far out of a surface one looks whether another body is
	// there, mm: more than bodies that touch are apart.
	outside = 1e-3
	// leastPart is the size, mm, down to which a surface is parted along the
	// border of another body.
	leastPart = 0.06
	// mostParts bounds the parts of all surfaces.
	mostParts = 400_000
)

// bodies tells which connected surface each facet belongs to, and what other
// surfaces are near.
type bodies struct {
	mesh  *mesh.Mesh
	of    []int32 // by facet
	plumb *plumb
	all   *plumb // upright facets too
	parts int
}

// newBodies returns nil where the mesh is one connected surface.
func newBodies(m *mesh.Mesh) *bodies {
	of, count := m.Bodies(mesh.ByVertex)
	if count < 2 {
		return nil
	}
	b := &bodies{mesh: m, of: of}
	b.plumb, b.all = newPlumb(m), newGrid(m, true)
	return b
}

// exposed returns what of the unsupported surface isn't inside or on another
// body.
func (b *bodies) exposed(o Unsupported) Unsupported {
	var out Unsupported
	for _, i := range o.Facets {
		p, q, r := b.mesh.Corners(int(i))
		t := [3]r3.Vec{p, q, r}
		if whole, parts := b.part(i, t, b.normal(i)); whole {
			out.Area += areaOfTriangle(t)
			out.Facets = append(out.Facets, i)
		} else {
			out.add(i, parts)
		}
	}
	for _, piece := range o.Pieces {
		c := piece.Corners
		for k := 1; k+1 < len(c); k++ {
			t := [3]r3.Vec{c[0], c[k], c[k+1]}
			whole, parts := b.part(piece.Facet, t, b.normal(piece.Facet))
			if whole {
				parts = [][3]r3.Vec{t}
			}
			out.add(piece.Facet, parts)
		}
	}
	slices.SortStableFunc(out.Pieces, func(a, b Piece) int { return cmp.Compare(a.Facet, b.Facet) })
	return out
}

// add adds parts of a facet.
func (o *Unsupported) add(facet int32, parts [][3]r3.Vec) {
	for _, t := range parts {
		o.Area += areaOfTriangle(t)
		o.Pieces = append(o.Pieces, Piece{facet, []r3.Vec{t[0], t[1], t[2]}})
	}
}

func areaOfTriangle(t [3]r3.Vec) float64 {
	return r3.Norm(r3.Cross(r3.Sub(t[1], t[0]), r3.Sub(t[2], t[0]))) / 2
}

func (b *bodies) normal(facet int32) r3.Vec {
	p, q, r := b.mesh.Corners(int(facet))
	return r3.Unit(r3.Cross(r3.Sub(q, p), r3.Sub(r, p)))
}

// part returns the parts of a triangle of a facet that are exposed; whole
// reports that all of it is.
func (b *bodies) part(facet int32, t [3]r3.Vec, n r3.Vec) (whole bool, parts [][3]r3.Vec) {
	k, most := 0, 0.0
	for i := range t {
		if d := r3.Norm(r3.Sub(t[(i+1)%3], t[i])); d > most {
			k, most = i, d
		}
	}
	if most <= leastPart || b.parts >= mostParts || !b.near(facet, t) {
		b.parts++
		at := r3.Add(r3.Scale(1.0/3, r3.Add(t[0], r3.Add(t[1], t[2]))), r3.Scale(outside, n))
		return !b.plumb.solid(r2.Vec{X: at.X, Y: at.Y}, at.Z), nil
	}
	x, y, z := t[k], t[(k+1)%3], t[(k+2)%3]
	mid := r3.Scale(0.5, r3.Add(x, y))
	halves := [2][3]r3.Vec{{mid, y, z}, {x, mid, z}}
	all := true
	for _, h := range halves {
		w, p := b.part(facet, h, n)
		if w {
			p = [][3]r3.Vec{h}
		}
		all = all && w
		parts = append(parts, p...)
	}
	if all {
		return true, nil
	}
	return false, parts
}

// near reports whether some facet of another body reaches into the triangle's
// box.
func (b *bodies) near(facet int32, t [3]r3.Vec) bool {
	lo, hi := bounds(t[0], t[1], t[2])
	x0, y0 := b.all.at(lo.X-outside, lo.Y-outside)
	x1, y1 := b.all.at(hi.X+outside, hi.Y+outside)
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			for _, i := range b.all.in[y*b.all.nx+x] {
				if b.of[i] == b.of[facet] {
					continue
				}
				l, h := bounds(b.mesh.Corners(int(i)))
				if l.X <= hi.X+outside && h.X >= lo.X-outside && l.Y <= hi.Y+outside && h.Y >= lo.Y-outside &&
					l.Z <= hi.Z+2*outside && h.Z >= lo.Z-2*outside {
					return true
				}
			}
		}
	}
	return false
}

func bounds(a, b, c r3.Vec) (lo, hi r3.Vec) {
	return r3.Vec{X: min(a.X, b.X, c.X), Y: min(a.Y, b.Y, c.Y), Z: min(a.Z, b.Z, c.Z)},
		r3.Vec{X: max(a.X, b.X, c.X), Y: max(a.Y, b.Y, c.Y), Z: max(a.Z, b.Z, c.Z)}
}

// nearestRegion returns the region that holds p, or comes nearest to it.
func nearestRegion(regions []region, p r2.Vec) (region, bool) {
	best, least := -1, math.Inf(1)
	for i, r := range regions {
		d := 0.0
		if !r.Contains(p) {
			d = r.Distance(p)
		}
		if d < least {
			best, least = i, d
		}
	}
	if best < 0 {
		return region{}, false
	}
	return regions[best], true
}
