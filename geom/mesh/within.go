package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// A body counts as being within another when this many of its points are
	// found inside and none outside. Bodies that overlap only in part, as
	// posts and beams drawn through each other do, then rarely pass for
	// cavities.
	withinPoints = 7
	withinTries  = 28

	// onSurface, relative to the size of what is compared, is when a ray
	// passes too near an edge or a point lies too near a facet to tell.
	onSurface = 1e-9
)

// within reports that body p lies inside the closed body q.
func (b *bodies) within(p, q *body) bool {
	if !contains(q.box, p.box) || p.box == q.box {
		return false
	}
	found := 0
	for try := range min(withinTries, len(p.facets)) {
		i := p.facets[try*len(p.facets)/min(withinTries, len(p.facets))]
		inside, sure := b.inside(b.somewhere(i, try), q)
		if !sure {
			continue
		}
		if !inside {
			return false
		}
		if found++; found == withinPoints {
			break
		}
	}
	return found > 0
}

// somewhere returns a point of facet i that is unlikely to lie above an edge
// or a corner of another.
func (b *bodies) somewhere(i int32, try int) r3.Vec {
	u := 0.31830988618 + 0.01*float64(try)
	v := 0.36787944117 - 0.007*float64(try)
	p, q, r := b.mesh.Corners(int(i))
	return r3.Add(p, r3.Add(r3.Scale(u, r3.Sub(q, p)), r3.Scale(v, r3.Sub(r, p))))
}

func contains(outer, inner r3.Box) bool {
	return outer.Min.X <= inner.Min.X && outer.Min.Y <= inner.Min.Y && outer.Min.Z <= inner.Min.Z &&
		outer.Max.X >= inner.Max.X && outer.Max.Y >= inner.Max.Y && outer.Max.Z >= inner.Max.Z
}

// inside counts the facets of q above p. sure is false where p or the ray
// comes too near to tell.
func (b *bodies) inside(p r3.Vec, q *body) (inside, sure bool) {
	for _, i := range q.facets {
		above, sure := crosses(p, b.mesh, int(i))
		if !sure {
			return false, false
		}
		inside = inside != above
	}
	return inside, true
}

// crosses reports that the ray from p straight up passes through facet i.
func crosses(p r3.Vec, m *Mesh, i int) (through, sure bool) {
	a, b, c := m.Corners(i)
	if max(a.X, b.X, c.X) < p.X || min(a.X, b.X, c.X) > p.X ||
		max(a.Y, b.Y, c.Y) < p.Y || min(a.Y, b.Y, c.Y) > p.Y || max(a.Z, b.Z, c.Z) < p.Z {
		return false, true
	}
	flat := func(v r3.Vec) r2.Vec { return r2.Vec{X: v.X - p.X, Y: v.Y - p.Y} }
	fa, fb, fc := flat(a), flat(b), flat(c)
	wa, wb, wc := r2.Cross(fb, fc), r2.Cross(fc, fa), r2.Cross(fa, fb)
	near := onSurface * (r2.Norm2(fa) + r2.Norm2(fb) + r2.Norm2(fc))
	low, high := min(wa, wb, wc), max(wa, wb, wc)
	if low < -near && high > near {
		return false, true // beside the facet
	}
	if low < near && high > -near { // on an edge, or the facet stands upright
		return false, false
	}
	d := (wa*(a.Z-p.Z) + wb*(b.Z-p.Z) + wc*(c.Z-p.Z)) / (wa + wb + wc)
	return d > 0, math.Abs(d) > onSurface*(r3.Norm(r3.Sub(b, a))+r3.Norm(r3.Sub(c, a)))
}
