package field

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// TestRayMeetsTheShellFirst compares with small steps along the way.
func TestRayMeetsTheShellFirst(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		number := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(r, name) }
		f := NewCone(number("angle", 0.05, 1.2), rapid.Bool().Draw(r, "inward"),
			r2.Vec{X: number("x", -20, 20), Y: number("y", -20, 20)}, number("round", 0, 5))
		if rapid.Bool().Draw(r, "ramp") {
			f = NewRamp(f.Angle(), f.axis.X)
		}
		p := r3.Vec{X: number("px", -30, 30), Y: number("py", -30, 30), Z: number("pz", 0, 30)}
		a, e := number("azimuth", -3, 3), number("elevation", -1.5, 1.5)
		along := r3.Vec{X: math.Cos(e) * math.Cos(a), Y: math.Cos(e) * math.Sin(a), Z: math.Sin(e)}
		shell := func(t float64) float64 {
			q := r3.Add(p, r3.Scale(t, along))
			return q.Z + f.At(r2.Vec{X: q.X, Y: q.Y})
		}
		c := shell(0) + number("over", 0.1, 20)
		at, ok := f.Ray(p, along, c)
		if ok && (at < 0 || math.Abs(shell(at)-c) > 1e-6*(1+at)) {
			r.Fatalf("at %v the shell is %v, not %v", at, shell(at), c)
		}
		const step = 0.01
		for way := step; way < 60; way += step {
			if shell(way) > c+1e-3 {
				if !ok || at > way {
					r.Fatalf("passed at %v, found at %v, %v", way, at, ok)
				}
				break
			}
		}
	})
}
