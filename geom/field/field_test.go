package field

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

const deg = math.Pi / 180

func near(a, b, tol float64) bool { return math.Abs(a-b) <= tol }

// The values follow from the formulas that CONTRACT gives to readers of files.
func TestLiftFollowsTheContract(t *testing.T) {
	axis := r2.Vec{X: 10, Y: 20}
	level, outward := Field{}, NewCone(45*deg, false, axis, 0)
	inward, rounded := NewCone(45*deg, true, axis, 0), NewCone(30*deg, false, axis, 4)
	ramp := NewRamp(45*deg, 90*deg)
	for _, c := range []struct {
		name string
		f    Field
		p    r2.Vec
		want float64
	}{
		{"level", level, r2.Vec{X: 3, Y: 4}, 0},
		{"outward, 3 4 5", outward, r2.Vec{X: 13, Y: 24}, 5},
		{"inward, 3 4 5", inward, r2.Vec{X: 13, Y: 24}, -5},
		{"on the axis", outward, axis, 0},
		{"rounded, on the axis", rounded, axis, 0},
		{"rounded, root of 9 and 16", rounded, r2.Vec{X: 13, Y: 20}, math.Tan(30 * deg)},
		{"ramp along y", ramp, r2.Vec{X: 50, Y: 7}, 7},
	} {
		if got := c.f.At(c.p); !near(got, c.want, 1e-12) {
			t.Errorf("%s: lift %v, want %v", c.name, got, c.want)
		}
	}
}

func TestGradientAndAzimuthAreUndefinedWhereTheFieldHasNoDirection(t *testing.T) {
	axis := r2.Vec{X: 1, Y: 2}
	for _, c := range []struct {
		name string
		f    Field
	}{
		{"level", Field{}},
		{"sharp axis", NewCone(45*deg, false, axis, 0)},
		{"round axis", NewCone(45*deg, true, axis, 3)},
		{"flat cone", NewCone(0, true, axis, 3)},
		{"flat ramp", NewRamp(0, 1)},
	} {
		g, ok := c.f.Grad(axis)
		_, okA := c.f.Azimuth(axis)
		if ok || okA || g != (r2.Vec{}) {
			t.Errorf("%s: gradient %v (%v), azimuth %v", c.name, g, ok, okA)
		}
		if n := c.f.Normal(axis); n != (r3.Vec{Z: 1}) {
			t.Errorf("%s: normal %v, want straight up", c.name, n)
		}
	}
}

func anyField(t *rapid.T) Field {
	angle := rapid.Float64Range(1, 75).Draw(t, "angle") * deg
	if rapid.IntRange(0, 4).Draw(t, "kind") == 0 {
		return NewRamp(angle, rapid.Float64Range(-7, 7).Draw(t, "toward"))
	}
	return anyCone(t, angle)
}

func anyCone(t *rapid.T, angle float64) Field {
	axis := r2.Vec{X: rapid.Float64Range(-50, 50).Draw(t, "ax"), Y: rapid.Float64Range(-50, 50).Draw(t, "ay")}
	round := 0.0
	if rapid.Bool().Draw(t, "rounded") {
		round = rapid.Float64Range(1e-3, 10).Draw(t, "round")
	}
	return NewCone(angle, rapid.Bool().Draw(t, "inward"), axis, round)
}

func anyPoint(t *rapid.T, name string) r2.Vec {
	return r2.Vec{X: rapid.Float64Range(-200, 200).Draw(t, name+"x"), Y: rapid.Float64Range(-200, 200).Draw(t, name+"y")}
}

func TestGradientIsTheDerivativeAndPointsAlongTheAzimuth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, p := anyField(t), anyPoint(t, "p")
		const h = 1e-5
		if r2.Norm(r2.Sub(p, f.axis)) < 0.1 {
			t.Skip("no derivative at a sharp axis")
		}
		g, ok := f.Grad(p)
		gx := (f.At(r2.Vec{X: p.X + h, Y: p.Y}) - f.At(r2.Vec{X: p.X - h, Y: p.Y})) / (2 * h)
		gy := (f.At(r2.Vec{X: p.X, Y: p.Y + h}) - f.At(r2.Vec{X: p.X, Y: p.Y - h})) / (2 * h)
		if !ok || !near(g.X, gx, 1e-6) || !near(g.Y, gy, 1e-6) {
			t.Fatalf("gradient %v, by differences %v %v", g, gx, gy)
		}
		azimuth, ok := f.Azimuth(p)
		if !ok || !near(math.Remainder(azimuth-math.Atan2(g.Y, g.X), 2*math.Pi), 0, 1e-9) {
			t.Fatalf("azimuth %v, gradient %v", azimuth, g)
		}
		if azimuth <= -math.Pi-1e-15 || azimuth > math.Pi {
			t.Fatalf("azimuth %v is out of range", azimuth)
		}
		n := f.Normal(p)
		if !near(r3.Norm(n), 1, 1e-12) || !near(n.X, g.X*n.Z, 1e-12) || !near(n.Y, g.Y*n.Z, 1e-12) {
			t.Fatalf("normal %v doesn't fit gradient %v", n, g)
		}
	})
}

func TestUnwarpUndoesWarp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, q := anyField(t), anyPoint(t, "p")
		p := r3.Vec{X: q.X, Y: q.Y, Z: rapid.Float64Range(0, 300).Draw(t, "z")}
		if got := f.Unwarp(f.Warp(p)); got.X != p.X || got.Y != p.Y || !near(got.Z, p.Z, 1e-10) {
			t.Fatalf("%v came back as %v", p, got)
		}
	})
}
