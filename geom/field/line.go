package field

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Line is a field seen along the straight segment from a (t = 0) to b (t = 1).
//
// With u the distance along the line from the point closest to the axis and q
// the root of the squares of that closest distance and the rounding, the lift
// is s sqrt(q^2 + u^2) and a constant: a hyperbola. Put u = q sinh(theta):
// over [theta1, theta2] with mean m and half difference d the chord has slope
// tanh(m), touches the curve's parallel at u = q sinh(m), and the greatest gap
// is s q (cosh d - 1) / cosh m. (Hyperbolic addition theorems; DESIGN 3 gives
// the same point as q k / sqrt(1 - k^2).)
type Line struct {
	slope  float64 // |s|; 0 where the lift is linear along the line
	p, q   float64 // closest distance; the same with the rounding
	u0     float64 // u at t = 0
	length float64
	sign   float64 // of s
	bent   *bent   // the line of a field that isn't built in; the rest is then unused
}

// Along returns f seen along the segment from a to b.
func (f *Field) Along(a, b r2.Vec) Line {
	dx, dy := b.X-a.X, b.Y-a.Y
	length := math.Sqrt(dx*dx + dy*dy)
	if length == 0 || f.kind < cone || f.kind == ramp {
		return Line{length: length}
	}
	if f.kind == own {
		return Line{length: length, bent: &bent{answers: f.answers, a: a, b: b, length: length}}
	}
	dx, dy = dx/length, dy/length
	ax, ay := a.X-f.axis.X, a.Y-f.axis.Y
	p := math.Abs(ax*dy - ay*dx)
	sign := 1.0
	if f.inward {
		sign = -1
	}
	return Line{
		slope:  f.slope,
		p:      p,
		q:      math.Sqrt(p*p + f.round*f.round),
		u0:     ax*dx + ay*dy,
		length: length,
		sign:   sign,
	}
}

// tinyQ keeps asinh(u/q) finite for lines through the axis; the gap that it
// adds is of its own size, far below any tolerance.
const tinyQ = 1e-12

// tinyP is the distance from the axis, mm, below which a line counts as running
// through it where azimuths are asked for: nearer, the half turn happens within
// less of the line than rounding can tell apart.
const tinyP = 1e-9

func (l *Line) theta(t float64) float64 {
	return math.Asinh((l.u0 + t*l.length) / math.Max(l.q, tinyQ))
}

// Closest returns the distance between the axis and the segment's line, and
// the t of the closest point (outside [0, 1] where it lies beyond an end). For
// fields of planes the distance is infinite. For a field that isn't built in it
// is a bound of the distance from where the azimuth isn't defined.
func (l *Line) Closest() (distance, t float64) {
	if l.bent != nil {
		return l.bent.closest(), 0.5
	}
	if l.slope == 0 || l.length == 0 {
		return math.Inf(1), 0
	}
	return l.p, -l.u0 / l.length
}

// Straight reports without transcendental functions that the gap over the
// whole segment is at most tol: the second derivative of the lift along the
// line is q^2 / (q^2 + u^2)^(3/2) <= 1 / r, r the root at the nearest end.
func (l *Line) Straight(tol float64) bool {
	if l.bent != nil {
		return l.bent.straight(tol)
	}
	if l.slope == 0 {
		return true
	}
	u := l.u0
	if v := l.u0 + l.length; u*v <= 0 {
		u = 0
	} else if math.Abs(v) < math.Abs(u) {
		u = v
	}
	r := math.Sqrt(l.q*l.q + u*u)
	return l.slope*l.length*l.length <= 8*tol*r
}

// Gap returns the greatest vertical distance between the lift and its chord
// over [t0, t1] (t0 <= t1) and the t where it occurs. It is exact but for
// rounding.
func (l *Line) Gap(t0, t1 float64) (gap, at float64) {
	if l.bent != nil {
		return l.bent.gap(t0, t1)
	}
	if l.slope == 0 || t1 <= t0 {
		return 0, (t0 + t1) / 2
	}
	q := math.Max(l.q, tinyQ)
	th0, th1 := l.theta(t0), l.theta(t1)
	m, d := (th0+th1)/2, (th1-th0)/2
	sh := math.Sinh(d / 2) // cosh d - 1 = 2 sinh^2(d/2), without cancellation
	gap = l.slope * q * 2 * sh * sh / math.Cosh(m)
	at = (q*math.Sinh(m) - l.u0) / l.length
	return gap, math.Min(math.Max(at, t0), t1)
}

// Reach returns the greatest t1 <= 1 for which the gap over [t0, t1] is at
// most tol > 0. Cutting greedily by it gives the fewest pieces. It solves
// q (cosh d - 1) = (tol / s) cosh(theta0 + d), which is quadratic in exp(d).
func (l *Line) Reach(t0, tol float64) float64 {
	if l.bent != nil {
		return l.bent.reach(t0, tol)
	}
	if l.slope == 0 {
		return 1
	}
	q := math.Max(l.q, tinyQ)
	th0 := l.theta(t0)
	a := tol / (l.slope * q)
	// With C = cosh theta0 and S = sinh theta0, A = 1 - a C and B = a S:
	// A cosh d - B sinh d = 1, or (A - B) y^2 - 2 y + (A + B) = 0 with
	// y = exp(d) = (1 + sqrt(1 - A^2 + B^2)) / (A - B). A - B = 1 - a exp(th0):
	// where it is not positive the rest of the line runs on within tol.
	//
	// 1 - A^2 + B^2 = a (2 C - a): the squares would cancel near the axis.
	lead := 1 - a*math.Exp(th0)
	disc := a * (2*math.Cosh(th0) - a)
	if lead <= 0 || disc < 0 {
		return 1
	}
	d := math.Log((1 + math.Sqrt(disc)) / lead)
	t := (q*math.Sinh(th0+2*d) - l.u0) / l.length
	if !(t < 1) {
		return 1
	}
	return math.Max(t, t0)
}

// ReachPlain is Reach by roots alone, for the millions of moves of a motion file:
// exp(theta) = (u + sqrt(q^2 + u^2)) / q, so that no logarithm is taken and
// undone. The two differ by rounding.
func (l *Line) ReachPlain(t0, tol float64) float64 {
	if l.bent != nil {
		return l.bent.reach(t0, tol)
	}
	if l.slope == 0 {
		return 1
	}
	q := math.Max(l.q, tinyQ)
	u := l.u0 + t0*l.length
	g := math.Sqrt(q*q + u*u)
	e := (u + g) / q // exp(theta0)
	if u < 0 {
		e = q / (g - u) // the same without cancellation
	}
	a := tol / (l.slope * q)
	lead := 1 - a*e
	disc := a * (2*g/q - a)
	if lead <= 0 || disc < 0 {
		return 1
	}
	y := (1 + math.Sqrt(disc)) / lead
	e *= y * y // exp(theta0 + 2 d)
	t := (q*(e-1/e)/2 - l.u0) / l.length
	if !(t < 1) {
		return 1
	}
	return math.Max(t, t0)
}

// AzimuthError returns the greatest error, radians, of an azimuth that is
// interpolated linearly in t between its true values at t0 and t1. A segment
// that runs through the axis itself jumps there by half a turn.
func (l *Line) AzimuthError(t0, t1 float64) float64 {
	if l.bent != nil {
		return l.bent.azimuthError(t0, t1)
	}
	if l.slope == 0 || t1 <= t0 {
		return 0
	}
	u0, u1 := l.u0+t0*l.length, l.u0+t1*l.length
	if l.p < tinyP {
		if u0 < -tinyP && u1 > tinyP {
			return math.Pi
		}
		return 0
	}
	a0, a1 := math.Atan2(u0, l.p), math.Atan2(u1, l.p)
	k := (a1 - a0) / (u1 - u0)
	w := l.p/k - l.p*l.p // extremes where p / (p^2 + u^2) = k
	if w <= 0 {
		return 0
	}
	w = math.Sqrt(w)
	worst := 0.0
	for _, u := range [2]float64{-w, w} {
		if u > u0 && u < u1 {
			worst = math.Max(worst, math.Abs(math.Atan2(u, l.p)-a0-k*(u-u0)))
		}
	}
	return worst
}

// Turn returns how far the azimuth turns over [t0, t1], radians, without sign.
func (l *Line) Turn(t0, t1 float64) float64 {
	if l.bent != nil {
		return l.bent.turn(t0, t1)
	}
	if l.slope == 0 {
		return 0
	}
	return math.Abs(math.Atan2(l.u0+t1*l.length, l.p) - math.Atan2(l.u0+t0*l.length, l.p))
}

// ReachAzimuth returns an end as near to t1 as can be for which AzimuthError
// over [t0, end] is at most tol > 0: t1 itself where that fits.
func (l *Line) ReachAzimuth(t0, t1, tol float64) float64 {
	if l.bent != nil {
		return l.bent.reachAzimuth(t0, t1, tol)
	}
	if l.slope == 0 || l.turnWithin(t0, t1, tol) || l.AzimuthError(t0, t1) <= tol {
		return t1
	}
	if l.p < tinyP {
		return math.Min(l.reachAxis(t0), t1)
	}
	// Close in by regula falsi with halving (the Illinois rule), from a bracket
	// that begins where the azimuth has turned by tol: there the error can't be
	// greater.
	lo, hi := math.Min(l.ReachTurn(t0, tol), t1), t1
	flo, fhi := l.AzimuthError(t0, lo)-tol, l.AzimuthError(t0, hi)-tol
	for i := 0; i < 60 && hi-lo > 1e-12 && flo < -0.01*tol; i++ {
		mid := lo + (hi-lo)*flo/(flo-fhi)
		if i%4 == 3 || !(mid > lo && mid < hi) {
			mid = (lo + hi) / 2
		}
		if f := l.AzimuthError(t0, mid) - tol; f <= 0 {
			lo, flo = mid, f
			fhi /= 2
		} else {
			hi, fhi = mid, f
		}
	}
	return lo
}

// turnWithin reports without transcendental functions that the azimuth turns by
// at most tol < 1 over [t0, t1]: the angle is at most its own tangent.
func (l *Line) turnWithin(t0, t1, tol float64) bool {
	u0, u1 := l.u0+t0*l.length, l.u0+t1*l.length
	cross, dot := l.p*(u1-u0), l.p*l.p+u0*u1
	return dot > 0 && cross <= tol*dot
}

// ReachTurn returns the t1 <= 1 up to which the azimuth turns by at most angle
// (> 0, radians) from t0.
func (l *Line) ReachTurn(t0, angle float64) float64 {
	if l.bent != nil {
		return l.bent.reachTurn(t0, angle)
	}
	if l.slope == 0 {
		return 1
	}
	if l.p < tinyP {
		return l.reachAxis(t0)
	}
	u0 := l.u0 + t0*l.length
	a := math.Atan2(u0, l.p) + angle
	if a >= math.Pi/2 {
		return 1
	}
	t := (l.p*math.Tan(a) - l.u0) / l.length
	if !(t < 1) {
		return 1
	}
	return math.Max(t, t0)
}

// reachAxis returns the t at which a line through the axis meets it, if that
// lies ahead of t0, else 1: the azimuth jumps there and holds elsewhere.
func (l *Line) reachAxis(t0 float64) float64 {
	if t := -l.u0 / l.length; t < 1 && (t-t0)*l.length > tinyP {
		return t
	}
	return 1
}
