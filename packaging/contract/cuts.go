package contract

import (
	"math"

	"conewright/packaging/reading"

	"gonum.org/v1/gonum/spatial/r3"
)

// cuts checks that the zones, warped back, lie on the sides of the cuts that the
// job names. solids holds a zone's facets by its name.
func (c *check) cuts(t *reading.Tree, solids map[string][]triangle) {
	if t == nil || t.Cut == nil {
		return
	}
	n := r3.Unit(vec(t.Cut.Normal))
	above := func(p [3]float64) float64 { return r3.Dot(n, r3.Sub(vec(p), vec(t.Cut.Point))) }
	slack := c.log.Job.Tolerance + 1e-3
	for _, name := range t.Over.Names() {
		for _, f := range solids[name] {
			if d := min(above(f[0]), above(f[1]), above(f[2])); d < -slack {
				c.wrong("zone %s reaches %.3f mm under the cut that it lies over", name, -d)
				break
			}
		}
	}
	only := t.Cut.Only
	taken, left := math.Inf(1), math.Inf(1) // distances of what lies over the plane from only
	for _, name := range t.Under.Names() {
		for _, f := range solids[name] {
			if only == nil {
				if d := max(above(f[0]), above(f[1]), above(f[2])); d > slack {
					c.wrong("zone %s reaches %.3f mm over the cut that it lies under", name, d)
					break
				}
			} else if min(above(f[0]), above(f[1]), above(f[2])) > slack {
				left = math.Min(left, distance(vec(*only), f))
			}
		}
	}
	if only != nil {
		for _, name := range t.Over.Names() {
			for _, f := range solids[name] {
				taken = math.Min(taken, distance(vec(*only), f))
			}
		}
		if taken > left+slack {
			c.wrong("a piece %.3f mm from only stays under the cut, the one over it is %.3f mm away", left, taken)
		}
	}
	c.cuts(t.Under, solids)
	c.cuts(t.Over, solids)
}

func vec(p [3]float64) r3.Vec { return r3.Vec{X: p[0], Y: p[1], Z: p[2]} }

// distance is how far p is from a facet: over its inside straight down, else from
// the nearest of its sides.
func distance(p r3.Vec, f triangle) float64 {
	a, b, c := vec(f[0]), vec(f[1]), vec(f[2])
	least := math.Inf(1)
	for _, side := range [][2]r3.Vec{{a, b}, {b, c}, {c, a}} {
		along := r3.Sub(side[1], side[0])
		t := r3.Dot(along, r3.Sub(p, side[0])) / math.Max(r3.Norm2(along), 1e-30)
		foot := r3.Add(side[0], r3.Scale(math.Max(0, math.Min(1, t)), along))
		least = math.Min(least, r3.Norm(r3.Sub(p, foot)))
	}
	// Barycentric coordinates of p's foot in the facet's plane.
	u, v, w := r3.Sub(b, a), r3.Sub(c, a), r3.Sub(p, a)
	uu, uv, vv, wu, wv := r3.Dot(u, u), r3.Dot(u, v), r3.Dot(v, v), r3.Dot(w, u), r3.Dot(w, v)
	det := uu*vv - uv*uv
	if det < 1e-18 {
		return least
	}
	s, t := (vv*wu-uv*wv)/det, (uu*wv-uv*wu)/det
	if s < 0 || t < 0 || s+t > 1 {
		return least
	}
	return r3.Norm(r3.Sub(w, r3.Add(r3.Scale(s, u), r3.Scale(t, v))))
}
