package field

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Ray returns how far from p along the unit vector dir the shell z + f = c is
// met first, mm. ok is false where it isn't met.
func (f *Field) Ray(p, dir r3.Vec, c float64) (t float64, ok bool) {
	switch {
	case f.kind == own:
		return f.answers.ray(p, dir, c)
	case f.kind != cone || f.slope == 0:
		g, _ := f.Grad(r2.Vec{X: p.X, Y: p.Y})
		rise := dir.Z + g.X*dir.X + g.Y*dir.Y
		t = (c - p.Z - f.At(r2.Vec{X: p.X, Y: p.Y})) / rise
		return t, t >= 0 && !math.IsInf(t, 0)
	}
	// slope sqrt(r^2 + round^2) = h - dir.Z t on the shell, where h - dir.Z t
	// has the sign of the slope; squared, with r^2 a square in t
	slope := f.signed()
	x, y := p.X-f.axis.X, p.Y-f.axis.Y
	h := c - p.Z + slope*f.round
	k := slope * slope
	qa := k*(dir.X*dir.X+dir.Y*dir.Y) - dir.Z*dir.Z
	qb := k*(x*dir.X+y*dir.Y) + h*dir.Z
	qc := k*(x*x+y*y+f.round*f.round) - h*h
	for _, t := range roots(qa, qb, qc) {
		if t >= 0 && (h-dir.Z*t)*slope >= 0 {
			return t, true
		}
	}
	return 0, false
}

// roots returns the solutions of a t^2 + 2 b t + c = 0, the lesser first; NaN
// where there are none.
func roots(a, b, c float64) [2]float64 {
	if math.Abs(a) < 1e-12 {
		return [2]float64{-c / (2 * b), math.NaN()}
	}
	root := math.Sqrt(b*b - a*c)
	q := -(b + math.Copysign(root, b))
	t0, t1 := q/a, c/q
	if q == 0 {
		t1 = t0
	}
	return [2]float64{math.Min(t0, t1), math.Max(t0, t1)}
}

// Bounds of a walk along a ray.
const (
	farthest  = 2000.0 // mm: beyond any machine
	leastStep = 1e-7   // mm
	mostSteps = 10000
)

// ray walks along the ray by steps that can't pass the shell: z + f changes by
// at most |dir.Z| + slope |dir in plan| a millimetre.
func (a *Answers) ray(p, dir r3.Vec, c float64) (t float64, ok bool) {
	over := func(t float64) float64 {
		return p.Z + t*dir.Z + a.At(r2.Vec{X: p.X + t*dir.X, Y: p.Y + t*dir.Y}) - c
	}
	rate := math.Abs(dir.Z) + a.Slope*math.Hypot(dir.X, dir.Y)
	for range mostSteps {
		gap := math.Abs(over(t))
		if gap <= leastStep*math.Max(1, rate) {
			return t, true
		}
		if t += gap / rate; t > farthest {
			break
		}
	}
	return 0, false
}
