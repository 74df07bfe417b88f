package overhang

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// sharp judges a facet under a field with an apex (field.Apex), exactly.
//
// With q = p - axis, w = slope (nx, ny) and m = (slope q/|q|, 1) / steep, the
// facet is unsupported at p where w.q + k |q| < 0, k = nz + limit steep: where
// the angle between q and w is greater than acos(-k / |w|). That is a sector
// about the axis in plan, open round -w.
func (j *judge) sharp(i int32, t [3]r3.Vec, n r3.Vec, area float64) {
	w := r2.Vec{X: j.slope * n.X, Y: j.slope * n.Y}
	k := n.Z + j.limit*j.steep
	size := r2.Norm(w)
	switch {
	case k >= size:
		return
	case k < -size:
		j.all(i, area)
		return
	}
	w = r2.Scale(1/size, w)
	turn := math.Acos(math.Max(-1, math.Min(1, -k/size)))
	sin, cos := math.Sincos(turn)
	left := r2.Vec{X: w.X*cos - w.Y*sin, Y: w.X*sin + w.Y*cos}  // the sector's first ray, turned left from w
	right := r2.Vec{X: w.X*cos + w.Y*sin, Y: w.Y*cos - w.X*sin} // its last
	var s [2][]r3.Vec
	if turn >= math.Pi/2 { // convex: to the left of its first and to the right of its last ray
		s[0] = j.clip(j.clip(t[:], left), r2.Scale(-1, right))
	} else { // two convex halves
		s[0] = j.clip(j.clip(t[:], w), left)
		s[1] = j.clip(j.clip(t[:], r2.Scale(-1, w)), r2.Scale(-1, right))
	}
	if len(s[0]) == 3 && [3]r3.Vec(s[0]) == t {
		j.all(i, area)
		return
	}
	for _, p := range s {
		if len(p) > 2 {
			j.piece(i, p)
		}
	}
}

// clip returns what of a convex polygon lies, in plan, to the left of the line
// through the axis in direction ray. A polygon that lies there wholly is
// returned as it is.
func (j *judge) clip(poly []r3.Vec, ray r2.Vec) []r3.Vec {
	side := func(p r3.Vec) float64 {
		return ray.X*(p.Y-j.axis.Y) - ray.Y*(p.X-j.axis.X)
	}
	return clipBy(poly, side)
}

// clipBy returns what of a convex polygon has side > 0, side being linear.
func clipBy(poly []r3.Vec, side func(p r3.Vec) float64) []r3.Vec {
	if len(poly) == 0 {
		return nil
	}
	whole, none := true, true
	for _, p := range poly {
		if side(p) >= 0 {
			none = false
		} else {
			whole = false
		}
	}
	if whole {
		return poly
	}
	if none {
		return nil
	}
	out := make([]r3.Vec, 0, len(poly)+1)
	a := poly[len(poly)-1]
	sa := side(a)
	for _, b := range poly {
		sb := side(b)
		if sa >= 0 != (sb >= 0) {
			out = append(out, r3.Add(a, r3.Scale(sa/(sa-sb), r3.Sub(b, a))))
		}
		if sb >= 0 {
			out = append(out, b)
		}
		a, sa = b, sb
	}
	return out
}
