package field

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"
)

// triangleGap samples the gap over the whole triangle, edges included.
func triangleGap(f *Field, a, b, c r2.Vec, n int) float64 {
	fa, fb, fc, worst := f.At(a), f.At(b), f.At(c), 0.0
	for i := 0; i <= n; i++ {
		for j := 0; i+j <= n; j++ {
			v, w := float64(i)/float64(n), float64(j)/float64(n)
			u := 1 - v - w
			p := r2.Vec{X: u*a.X + v*b.X + w*c.X, Y: u*a.Y + v*b.Y + w*c.Y}
			worst = math.Max(worst, math.Abs(u*fa+v*fb+w*fc-f.At(p)))
		}
	}
	return worst
}

// edgesGap returns the greatest gap along a triangle's edges.
func edgesGap(f *Field, a, b, c r2.Vec) (most float64) {
	for _, e := range [3][2]r2.Vec{{a, b}, {b, c}, {c, a}} {
		l := f.Along(e[0], e[1])
		gap, _ := l.Gap(0, 1)
		most = math.Max(most, gap)
	}
	return most
}

func TestGapInsideAndOnEdgesIsTheWholeTrianglesGap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := anyField(t)
		spread := math.Pow(10, rapid.Float64Range(-1, 2).Draw(t, "spread"))
		corner := func(name string) r2.Vec {
			p := r2.Vec{X: rapid.Float64Range(-1, 1).Draw(t, name+"x"), Y: rapid.Float64Range(-1, 1).Draw(t, name+"y")}
			return r2.Add(f.axis, r2.Scale(spread, p))
		}
		a, b, c := corner("a"), corner("b"), corner("c")
		if math.Abs(r2.Cross(r2.Sub(b, a), r2.Sub(c, a))) < 1e-6*spread*spread {
			t.Skip("no triangle")
		}
		closed := edgesGap(&f, a, b, c)
		inside, at, ok := f.GapInside(a, b, c, 0)
		if ok {
			closed = math.Max(closed, inside)
			for _, e := range [3][2]r2.Vec{{a, b}, {b, c}, {c, a}} {
				side := r2.Cross(r2.Sub(e[1], e[0]), r2.Sub(at, e[0]))
				if side*r2.Cross(r2.Sub(b, a), r2.Sub(c, a)) < -1e-9 {
					t.Fatalf("place %v is outside", at)
				}
			}
		}
		const n = 60
		slow := triangleGap(&f, a, b, c, n)
		// What samples can miss: the lift is slope-Lipschitz over a step.
		step := 3 * spread / n
		if slow > closed+1e-9 || closed > slow+2*f.slope*step {
			t.Fatalf("closed form %v (inside %v %v), sampled %v", closed, inside, ok, slow)
		}
	})
}

func TestGapInsideOfKnownTriangles(t *testing.T) {
	// An equilateral triangle about the axis: the corners lie at distance 2, so
	// the flat facet stands 2 above a sharp 45-degree apex, and
	// sqrt(4 + 1) - 1 above one of round 1.
	corner := func(azimuth float64) r2.Vec { return r2.Vec{X: 2 * math.Cos(azimuth), Y: 2 * math.Sin(azimuth)} }
	a, b, c := corner(0), corner(120*deg), corner(240*deg)
	far := r2.Vec{X: 100}
	for _, k := range []struct {
		name    string
		f       Field
		a, b, c r2.Vec
		want    float64
		ok      bool
	}{
		{"sharp", NewCone(45*deg, false, r2.Vec{}, 0), a, b, c, 2, true},
		{"sharp, inward, clockwise", NewCone(45*deg, true, r2.Vec{}, 0), a, c, b, 2, true},
		{"round", NewCone(45*deg, false, r2.Vec{}, 1), a, b, c, math.Sqrt(5) - 1, true},
		{"far from the axis", NewCone(45*deg, false, far, 0), a, b, c, 0, false},
		{"upright facet", NewCone(45*deg, false, r2.Vec{}, 1), a, b, r2.Scale(0.5, r2.Add(a, b)), 0, false},
		{"ramp", NewRamp(45*deg, 0), a, b, c, 0, false},
	} {
		gap, at, ok := k.f.GapInside(k.a, k.b, k.c, 0)
		if ok != k.ok || !near(gap, k.want, 1e-12) || ok && r2.Norm(at) > 1e-9 {
			t.Errorf("%s: %v at %v (%v), want %v (%v)", k.name, gap, at, ok, k.want, k.ok)
		}
	}
}
