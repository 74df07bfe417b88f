package field

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

const (
	// gapShare is how much of the greatest gap a search may miss.
	gapShare = 0.05
	// leastGap is a gap, mm, that means nothing: far below any tolerance.
	leastGap = 1e-5
	// mostParts bounds the parts that a triangle is searched in.
	mostParts = 4000
)

// inward is the least share of each corner in the place that a search returns.
const inward = 0.1

// gapInside searches the greatest gap between the lift and its linear
// interpolation in the triangle by halving it: a part is left aside when the
// second derivative, or the slope where that jumps, can't make its gap much
// greater than the greatest that is known, or than allowed.
func (a *Answers) gapInside(p, q, r r2.Vec, allowed float64) (gap float64, at r2.Vec, ok bool) {
	pq, pr := r2.Sub(q, p), r2.Sub(r, p)
	det := r2.Cross(pq, pr)
	if math.Abs(det) < 1e-12 {
		return 0, r2.Vec{}, false
	}
	if a.gapWithin(p, q, r, allowed) {
		return 0, r2.Vec{}, false
	}
	fp, fq, fr := a.At(p), a.At(q), a.At(r)
	slope := r2.Vec{X: ((fq-fp)*pr.Y - (fr-fp)*pq.Y) / det, Y: ((fr-fp)*pq.X - (fq-fp)*pr.X) / det}
	off := func(c r2.Vec) float64 { return a.At(c) - fp - r2.Dot(slope, r2.Sub(c, p)) }
	stack := make([][3]r2.Vec, 1, 32)
	stack[0] = [3]r2.Vec{p, q, r}
	for parts := 0; len(stack) > 0 && parts < mostParts; parts++ {
		t := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		middle := r2.Scale(1.0/3, r2.Add(t[0], r2.Add(t[1], t[2])))
		if g := math.Abs(off(middle)); g > gap {
			gap, at = g, middle
		}
		// Off is linear interpolation between the corners but for bend l^2 / 6, or
		// moves off the middle's by no more than its slope.
		k, l, radius := 0, 0.0, 0.0
		most := math.Abs(off(t[0]))
		for i := range 3 {
			most = math.Max(most, math.Abs(off(t[i])))
			radius = math.Max(radius, r2.Norm(r2.Sub(t[i], middle)))
			if d := r2.Norm(r2.Sub(t[(i+1)%3], t[i])); d > l {
				k, l = i, d
			}
		}
		bound := most + a.Bend(middle, radius)*l*l/6
		if b := math.Abs(off(middle)) + radius*(a.Slope+r2.Norm(slope)); b < bound || math.IsNaN(bound) {
			bound = b
		}
		if bound <= math.Max(gap*(1+gapShare)+leastGap, allowed) {
			continue
		}
		x, y, z := t[k], t[(k+1)%3], t[(k+2)%3]
		half := r2.Scale(0.5, r2.Add(x, y))
		if g := math.Abs(off(half)); g > gap {
			gap, at = g, half
		}
		stack = append(stack, [3]r2.Vec{x, half, z}, [3]r2.Vec{half, y, z})
	}
	d := r2.Sub(at, p)
	v, w := r2.Cross(d, pr)/det, r2.Cross(pq, d)/det
	// A place nearly on a side would cut off a sliver: it is moved inward.
	u := 1 - v - w
	u, v, w = math.Max(u, inward), math.Max(v, inward), math.Max(w, inward)
	sum := u + v + w
	at = r2.Add(p, r2.Add(r2.Scale(v/sum, pq), r2.Scale(w/sum, pr)))
	return gap, at, gap > 0
}

// gapWithin reports that the gap is at most allowed all over the triangle, by the
// bound bend l^2 / 6, l the longest side.
func (a *Answers) gapWithin(p, q, r r2.Vec, allowed float64) bool {
	middle := r2.Scale(1.0/3, r2.Add(p, r2.Add(q, r)))
	radius2 := math.Max(r2.Norm2(r2.Sub(p, middle)), math.Max(r2.Norm2(r2.Sub(q, middle)), r2.Norm2(r2.Sub(r, middle))))
	l2 := math.Max(r2.Norm2(r2.Sub(q, p)), math.Max(r2.Norm2(r2.Sub(r, q)), r2.Norm2(r2.Sub(p, r))))
	return allowed > 0 && a.Bend(middle, math.Sqrt(radius2))*l2 <= 6*allowed
}
