package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// triangle is a facet as the rays want it: a corner and two edges.
type triangle struct {
	a, ab, ac r3.Vec
}

func newTriangle(a, b, c r3.Vec) triangle {
	return triangle{a, r3.Sub(b, a), r3.Sub(c, a)}
}

// edgeSlack widens triangles a little, in barycentric coordinates, so that a
// ray along the seam of two of them meets at least one.
const edgeSlack = 1e-9

// meet returns the distance along the ray to the triangle (Moeller and
// Trumbore, Fast, Minimum Storage Ray/Triangle Intersection, 1997). Rays in
// the triangle's plane don't meet it.
func (t *triangle) meet(o, d *r3.Vec) (float64, bool) {
	px := d.Y*t.ac.Z - d.Z*t.ac.Y
	py := d.Z*t.ac.X - d.X*t.ac.Z
	pz := d.X*t.ac.Y - d.Y*t.ac.X
	det := t.ab.X*px + t.ab.Y*py + t.ab.Z*pz
	if det == 0 {
		return 0, false
	}
	inv := 1 / det
	tx, ty, tz := o.X-t.a.X, o.Y-t.a.Y, o.Z-t.a.Z
	u := (tx*px + ty*py + tz*pz) * inv
	if !(u >= -edgeSlack && u <= 1+edgeSlack) {
		return 0, false
	}
	qx := ty*t.ab.Z - tz*t.ab.Y
	qy := tz*t.ab.X - tx*t.ab.Z
	qz := tx*t.ab.Y - ty*t.ab.X
	v := (d.X*qx + d.Y*qy + d.Z*qz) * inv
	if !(v >= -edgeSlack && u+v <= 1+edgeSlack) {
		return 0, false
	}
	return (t.ac.X*qx + t.ac.Y*qy + t.ac.Z*qz) * inv, true
}

// Caster sends parallel rays through a solid: those of one view.
type Caster struct {
	solid     *Solid
	direction r3.Vec
	inverse   [3]float32
	near, far [3]uint8 // which of a node's bounds the rays meet first, and last
}

// hugeInverse stands for 1/0: finite, so that 0 times it is 0 and a ray within
// a box's side counts as inside.
const hugeInverse = 1e30

// Toward returns a caster of rays in the given direction, a unit vector.
func (s *Solid) Toward(direction r3.Vec) Caster {
	c := Caster{solid: s, direction: direction}
	for a, d := range [3]float64{direction.X, direction.Y, direction.Z} {
		c.inverse[a] = hugeInverse
		if math.Abs(d) > 1/hugeInverse {
			c.inverse[a] = float32(1 / d)
		}
		c.near[a], c.far[a] = uint8(a), uint8(3+a)
		if c.inverse[a] < 0 {
			c.near[a], c.far[a] = c.far[a], c.near[a]
		}
	}
	return c
}

// span returns where the ray from o is within the node's box.
func (c *Caster) span(n *node, o *[3]float32) (near, far float32) {
	near = (n.bounds[c.near[0]] - o[0]) * c.inverse[0]
	far = (n.bounds[c.far[0]] - o[0]) * c.inverse[0]
	if t := (n.bounds[c.near[1]] - o[1]) * c.inverse[1]; t > near {
		near = t
	}
	if t := (n.bounds[c.far[1]] - o[1]) * c.inverse[1]; t < far {
		far = t
	}
	if t := (n.bounds[c.near[2]] - o[2]) * c.inverse[2]; t > near {
		near = t
	}
	if t := (n.bounds[c.far[2]] - o[2]) * c.inverse[2]; t < far {
		far = t
	}
	if near < 0 {
		near = 0
	}
	return near, far
}

// Meets reports whether anything stands on the ray from o at a distance of
// more than 0 and less than reach.
func (c *Caster) Meets(o r3.Vec, reach float64) bool {
	var guess int32
	return c.MeetsAgain(o, reach, &guess)
}

// MeetsAgain is Meets for rays that follow each other closely: what one met
// the next is likely to meet, so it is asked first. guess keeps it between the
// calls and may start as anything.
func (c *Caster) MeetsAgain(o r3.Vec, reach float64, guess *int32) bool {
	s := c.solid
	if len(s.nodes) == 0 {
		return false
	}
	if g := *guess; g >= 0 && int(g) < len(s.triangles) {
		if t, ok := s.triangles[g].meet(&o, &c.direction); ok && t > 0 && t < reach {
			return true
		}
	}
	origin := [3]float32{float32(o.X), float32(o.Y), float32(o.Z)}
	end := float32(math.Min(reach, math.MaxFloat32))
	var stack [64]int32
	top, at := 0, int32(0)
	for {
		n := &s.nodes[at]
		if near, far := c.span(n, &origin); near <= far && near <= end {
			if n.count == 0 {
				stack[top] = n.first
				top++
				at++
				continue
			}
			for i := n.first; i < n.first+n.count; i++ {
				if t, ok := s.triangles[i].meet(&o, &c.direction); ok && t > 0 && t < reach {
					*guess = i
					return true
				}
			}
		}
		if top == 0 {
			return false
		}
		top--
		at = stack[top]
	}
}

// Nearest returns the facet that the ray from o meets first and the distance
// in lengths of direction; ok is false where it meets none.
func (s *Solid) Nearest(o, direction r3.Vec) (facet int, t float64, ok bool) {
	if len(s.nodes) == 0 {
		return 0, 0, false
	}
	c := s.Toward(direction)
	origin := [3]float32{float32(o.X), float32(o.Y), float32(o.Z)}
	best, found := math.Inf(1), int32(-1)
	stack := [64]int32{}
	top := 1
	for top > 0 {
		top--
		at := stack[top]
		n := &s.nodes[at]
		near, far := c.span(n, &origin)
		if near > far || float64(near) > best {
			continue
		}
		if n.count == 0 {
			stack[top], stack[top+1] = n.first, at+1
			top += 2
			continue
		}
		for i := n.first; i < n.first+n.count; i++ {
			if t, ok := s.triangles[i].meet(&o, &direction); ok && t > 0 && t < best {
				best, found = t, s.facets[i]
			}
		}
	}
	return int(found), best, found >= 0
}
