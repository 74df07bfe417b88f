package field

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// polyline is the line that a field is about, as its segments; a single point is
// a segment without length.
type polyline struct {
	points   []r2.Vec
	segments []segment
}

type segment struct {
	from, way r2.Vec // way: unit vector, zero for a single point
	length    float64
	turn      float64 // sine of the turn to the next segment, to the left; 0 at the last
}

// newPolyline returns the line through the points. Equal neighbours count once.
func newPolyline(points []r2.Vec) *polyline {
	l := &polyline{}
	for _, p := range points {
		if n := len(l.points); n == 0 || l.points[n-1] != p {
			l.points = append(l.points, p)
		}
	}
	for i := 0; i+1 < len(l.points); i++ {
		d := r2.Sub(l.points[i+1], l.points[i])
		length := r2.Norm(d)
		l.segments = append(l.segments, segment{from: l.points[i], way: r2.Scale(1/length, d), length: length})
	}
	for i := 0; i+1 < len(l.segments); i++ {
		l.segments[i].turn = r2.Cross(l.segments[i].way, l.segments[i+1].way)
	}
	if len(l.points) == 1 {
		l.segments = []segment{{from: l.points[0]}}
	}
	return l
}

// closest returns how far along the segment the place nearest to p lies, and the
// way from there to p.
func (s *segment) closest(p r2.Vec) (along float64, off r2.Vec) {
	d := r2.Sub(p, s.from)
	along = math.Min(math.Max(r2.Dot(d, s.way), 0), s.length)
	return along, r2.Sub(d, r2.Scale(along, s.way))
}

// nearest returns the segment nearest to p, the first of several that are so but for
// rounding, the way from its nearest place to p and its length.
func (l *polyline) nearest(p r2.Vec) (index int, off r2.Vec, r float64) {
	least := math.Inf(1)
	for i := range l.segments {
		if _, o := l.segments[i].closest(p); r2.Norm2(o) < least*(1-asNear) {
			index, off, least = i, o, r2.Norm2(o)
		}
	}
	return index, off, math.Sqrt(least)
}

// asNear is the share by which the squares of two distances differ by rounding alone.
const asNear = 1e-13

func (l *polyline) distance(p r2.Vec) float64 {
	_, _, r := l.nearest(p)
	return r
}

// samePlace is the distance, mm, below which two nearest places are one: on the
// outside of a bend both segments have the bend itself for their nearest.
const samePlace = 1e-9

// crease bounds how far p is from where the nearest place jumps from one segment
// to another. Distances change by at most the way, so that the difference of two
// is gone after half of it at the earliest; near the crease it goes as the
// difference of the two directions says, of which half is left to their turning.
func (l *polyline) crease(p r2.Vec) float64 {
	if len(l.segments) < 2 {
		return math.Inf(1)
	}
	k, off, r := l.nearest(p)
	least := math.Inf(1)
	for i := range l.segments {
		if i == k || l.outside(k, i, off) {
			continue
		}
		_, o := l.segments[i].closest(p)
		if r2.Norm2(r2.Sub(o, off)) < samePlace*samePlace {
			continue
		}
		s := r2.Norm(o)
		d := (s - r) / 2
		if r > 0 && s > 0 {
			d = math.Max(d, d/r2.Norm(r2.Sub(r2.Scale(1/s, o), r2.Scale(1/r, off))))
		}
		least = math.Min(least, d)
	}
	return least
}

// outside reports that a place, off from segment k, lies on the outside of the
// bend between k and its neighbour i: there is no crease between the two.
func (l *polyline) outside(k, i int, off r2.Vec) bool {
	switch i {
	case k + 1:
		return r2.Cross(l.segments[k].way, off)*l.segments[k].turn <= 0
	case k - 1:
		return r2.Cross(l.segments[k].way, off)*l.segments[i].turn <= 0
	}
	return false
}

// besideSegment reports that in the disc about p the nearest places are all
// within one segment, so that r is linear there; there must be no crease in it.
func (l *polyline) besideSegment(p r2.Vec, radius float64) bool {
	k, _, _ := l.nearest(p)
	s := &l.segments[k]
	along := r2.Dot(r2.Sub(p, s.from), s.way)
	return along >= radius && along <= s.length-radius
}

// bendWithin reports that a bend of the line is in the disc about p.
func (l *polyline) bendWithin(p r2.Vec, radius float64) bool {
	for i := 1; i+1 < len(l.points); i++ {
		if r2.Norm(r2.Sub(l.points[i], p)) <= radius {
			return true
		}
	}
	return false
}

// square is a distance's square along a line: (u - at)^2 + apart, scaled:
// a u^2 + b u + c.
type square struct{ a, b, c float64 }

// squares returns, along p + u way, the squares of the distance from each of the
// line's points and from the straight of each segment.
func (l *polyline) squares(p, way r2.Vec) []square {
	out := make([]square, 0, 2*len(l.points))
	for _, q := range l.points {
		d := r2.Sub(p, q)
		out = append(out, square{1, 2 * r2.Dot(d, way), r2.Norm2(d)})
	}
	for i := range l.segments {
		if s := &l.segments[i]; s.length > 0 {
			k, n := r2.Cross(s.way, way), r2.Cross(s.way, r2.Sub(p, s.from))
			out = append(out, square{k * k, 2 * k * n, n * n})
		}
	}
	return out
}

// solve appends where the square is v2.
func (q square) solve(us []float64, v2 float64) []float64 {
	for _, u := range roots(q.a, q.b/2, q.c-v2) {
		if !math.IsNaN(u) && !math.IsInf(u, 0) {
			us = append(us, u)
		}
	}
	return us
}
