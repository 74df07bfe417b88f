package field

import (
	"math"
)

// Jump is a place on a line where the azimuth jumps, or turns round in so short
// a way that a head can't follow.
type Jump struct {
	T             float64 // the place
	Before, After float64 // where the azimuth is told again on either side
}

// Jumps appends where the line comes nearer than reach (mm) to a place where the
// azimuth isn't defined, and where it crosses a crease. The former are left out
// within reach of the line's ends.
func (l *Line) Jumps(dst []Jump, reach float64) []Jump {
	if l.bent != nil {
		return l.bent.jumps(dst, reach)
	}
	if l.slope == 0 || l.p >= reach {
		return dst
	}
	half := math.Sqrt(reach*reach - l.p*l.p)
	if !(l.u0 <= -half && l.u0+l.length >= half) {
		return dst
	}
	t := -l.u0 / l.length
	return append(dst, Jump{t, math.Max(0, t-half/l.length), math.Min(1, t+half/l.length)})
}

// Kinks appends where the lift along the line has a corner, or runs within reach
// (mm) of one.
func (l *Line) Kinks(dst []float64, reach float64) []float64 {
	if l.bent != nil {
		return l.bent.kinks(dst)
	}
	if l.slope == 0 || l.q >= reach {
		return dst
	}
	if t := -l.u0 / l.length; t > 0 && t < 1 {
		dst = append(dst, t)
	}
	return dst
}

// Extrema appends the t in (0, 1) where the lift less rise x t is least or
// greatest, as far as it is so within some stretch about t.
func (l *Line) Extrema(dst []float64, rise float64) []float64 {
	if l.bent != nil {
		return l.bent.extrema(dst, rise)
	}
	if l.slope == 0 || l.length == 0 {
		return dst
	}
	// sign slope u / sqrt(q^2 + u^2) = rise / length
	k := rise / (l.sign * l.slope * l.length)
	if !(math.Abs(k) < 1) {
		return dst
	}
	if t := -l.u0/l.length + l.q*k/math.Sqrt(1-k*k)/l.length; t > 0 && t < 1 {
		dst = append(dst, t)
	}
	return dst
}

// Furthest returns the t where the lift is furthest off its chord over the whole
// line: where its slope is the chord's. With g = sqrt(q^2 + u^2) at either end
// the chord's slope is k = (u0 + u1) / (g0 + g1), and
// u^2 = q^2 k^2 / (1 - k^2) = (g0 g1 + u0 u1 - q^2) / 2 (DESIGN 3; the second
// form, which doesn't cancel for small q, by multiplying out). Where the lift is
// linear it is 0.5.
func (l *Line) Furthest() float64 {
	if l.bent != nil {
		_, at := l.bent.gap(0, 1)
		return at
	}
	if l.slope == 0 {
		return 0.5
	}
	q2, u0, u1 := l.q*l.q, l.u0, l.u0+l.length
	u := math.Sqrt(max(0, (math.Sqrt((q2+u0*u0)*(q2+u1*u1))+u0*u1-q2)/2))
	if u0+u1 < 0 {
		u = -u
	}
	return min(max((u-u0)/l.length, 0), 1)
}

// Bend returns a bound of the second derivative of the lift along the line's
// whole straight, 1/mm; at most the bound of Field.Bend.
func (l *Line) Bend() float64 {
	switch {
	case l.bent != nil:
		return l.bent.bend(0, 1)
	case l.slope == 0:
		return 0
	}
	return l.slope / l.q
}

// Apart returns how near the segment comes to where the azimuth isn't defined,
// mm, or less; +Inf where there is no such place.
func (l *Line) Apart() float64 {
	switch {
	case l.bent != nil:
		return l.bent.closest()
	case l.slope == 0:
		return math.Inf(1)
	}
	if u1 := l.u0 + l.length; l.u0*u1 > 0 {
		u := math.Min(math.Abs(l.u0), math.Abs(u1))
		return math.Sqrt(l.p*l.p + u*u)
	}
	return l.p
}
