package overhang

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// finest is the longest side, mm, of the triangles in which the border between
// supported and not is taken to be straight. CONTRACT asks for 0.5.
const finest = 0.25

// bend is how far n.m may be from linear over a triangle whose border is taken
// to be straight: 0.06 degrees, of SlackDeg's 0.5.
const bend = 1e-3

// pieces judges a facet piece by piece: pieces in which n.m can't cross the limit
// are settled at once, others are halved, down to finest.
func (j *judge) pieces(i int32, t [3]r3.Vec, n r3.Vec, area float64) {
	switch j.settled(t, n) {
	case supported:
		return
	case unsupported:
		j.all(i, area)
		return
	}
	j.stack = append(j.stack[:0], t)
	stack := j.stack
	for len(stack) > 0 {
		t := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		switch j.settled(t, n) {
		case unsupported:
			j.piece(i, []r3.Vec{t[0], t[1], t[2]})
		case undecided:
			k, long := longestSide(t)
			if long <= finest || j.bends(t, long) <= bend {
				j.straight(i, t, n)
				continue
			}
			a, b, c := t[k], t[(k+1)%3], t[(k+2)%3]
			mid := r3.Scale(0.5, r3.Add(a, b))
			stack = append(stack, [3]r3.Vec{a, mid, c}, [3]r3.Vec{mid, b, c})
		}
	}
	j.stack = stack
}

type verdict uint8

const (
	undecided verdict = iota
	supported
	unsupported
)

// settled tells whether n.m keeps to one side of the limit all over t: it differs
// from its value at the middle by at most the rate of the shells' normal times
// the distance from there.
func (j *judge) settled(t [3]r3.Vec, n r3.Vec) verdict {
	mid := middle(t)
	reach := 0.0
	for _, p := range t {
		dx, dy := p.X-mid.X, p.Y-mid.Y
		reach = max(reach, dx*dx+dy*dy)
	}
	reach = math.Sqrt(reach)
	most := reach * j.field.NormalRate(r2.Vec{X: mid.X, Y: mid.Y}, reach)
	over := j.over(mid, n)
	switch {
	case over > most:
		return supported
	case over < -most:
		return unsupported
	}
	return undecided
}

func middle(t [3]r3.Vec) r3.Vec {
	return r3.Scale(1.0/3, r3.Add(r3.Add(t[0], t[1]), t[2]))
}

// bends bounds how far n.m departs from linear over t with a longest side of
// long: long^2 / 8 times its second derivative.
func (j *judge) bends(t [3]r3.Vec, long float64) float64 {
	mid := middle(t)
	return long * long / 8 * j.field.NormalBend(r2.Vec{X: mid.X, Y: mid.Y}, long)
}

// over returns n.m + limit at p: negative where unsupported.
func (j *judge) over(p, n r3.Vec) float64 {
	return r3.Dot(n, j.field.Normal(r2.Vec{X: p.X, Y: p.Y})) + j.limit
}

// straight notes what of t is unsupported, taking n.m as linear over it.
func (j *judge) straight(i int32, t [3]r3.Vec, n r3.Vec) {
	s := [3]float64{j.over(t[0], n), j.over(t[1], n), j.over(t[2], n)}
	if s[0] >= 0 && s[1] >= 0 && s[2] >= 0 {
		return
	}
	out := make([]r3.Vec, 0, 4)
	for k := range 3 {
		a, b, sa, sb := t[k], t[(k+1)%3], s[k], s[(k+1)%3]
		if sa < 0 {
			out = append(out, a)
		}
		if (sa < 0) != (sb < 0) {
			out = append(out, r3.Add(a, r3.Scale(sa/(sa-sb), r3.Sub(b, a))))
		}
	}
	if len(out) > 2 {
		j.piece(i, out)
	}
}

func longestSide(t [3]r3.Vec) (k int, length float64) {
	for i := range 3 {
		if d := r3.Norm2(r3.Sub(t[(i+1)%3], t[i])); d > length {
			k, length = i, d
		}
	}
	return k, math.Sqrt(length)
}
