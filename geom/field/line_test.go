package field

import (
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"
)

// sampledGap is the slow, obvious gap between lift and chord over [t0, t1].
func sampledGap(f *Field, a, b r2.Vec, t0, t1 float64, samples int) float64 {
	at := func(t float64) float64 { return f.At(r2.Add(a, r2.Scale(t, r2.Sub(b, a)))) }
	f0, f1, worst := at(t0), at(t1), 0.0
	for i := 0; i <= samples; i++ {
		s := float64(i) / float64(samples)
		worst = math.Max(worst, math.Abs(f0+s*(f1-f0)-at(t0+s*(t1-t0))))
	}
	return worst
}

// anyLine draws segments among which many pass near or through the axis.
func anyLine(t *rapid.T, f *Field) (a, b r2.Vec) {
	a, b = anyPoint(t, "a"), anyPoint(t, "b")
	switch rapid.IntRange(0, 4).Draw(t, "line") {
	case 0: // through the axis
		b = r2.Add(f.axis, r2.Scale(-rapid.Float64Range(0.01, 2).Draw(t, "past"), r2.Sub(a, f.axis)))
	case 1: // from the axis
		a = f.axis
	case 2: // past the axis at a tiny distance
		off := math.Pow(10, rapid.Float64Range(-12, 0).Draw(t, "off"))
		a = r2.Vec{X: f.axis.X - rapid.Float64Range(0.001, 90).Draw(t, "l"), Y: f.axis.Y + off}
		b = r2.Vec{X: f.axis.X + rapid.Float64Range(0.001, 90).Draw(t, "r"), Y: f.axis.Y + off}
	case 3: // short
		b = r2.Add(a, r2.Scale(1e-3, b))
	}
	return a, b
}

func TestGapAgreesWithSamples(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := anyField(t)
		a, b := anyLine(t, &f)
		l := f.Along(a, b)
		t0 := rapid.Float64Range(0, 1).Draw(t, "t0")
		t1 := rapid.Float64Range(t0, 1).Draw(t, "t1")
		gap, at := l.Gap(t0, t1)
		const samples = 4000
		slow := sampledGap(&f, a, b, t0, t1, samples)
		// Between samples the lift can hide a step's height, no more.
		step := r2.Norm(r2.Sub(b, a)) * (t1 - t0) / samples
		if slow > gap+1e-9 || gap > slow+2*f.slope*step+1e-9 {
			t.Fatalf("gap %v, sampled %v", gap, slow)
		}
		if at < t0 || at > t1 {
			t.Fatalf("place %v outside [%v, %v]", at, t0, t1)
		}
		// The gap stands where Gap says.
		lift := func(t float64) float64 { return f.At(r2.Add(a, r2.Scale(t, r2.Sub(b, a)))) }
		if t1 > t0 {
			chord := lift(t0) + (at-t0)/(t1-t0)*(lift(t1)-lift(t0))
			if !near(math.Abs(chord-lift(at)), gap, 1e-8) {
				t.Fatalf("at %v the gap is %v, not %v", at, math.Abs(chord-lift(at)), gap)
			}
		}
	})
}

func TestGapOfKnownLines(t *testing.T) {
	// Chord of a sharp 45-degree cone over a right angle: ends at distance
	// sqrt 2, middle at distance 1; and the V of a line through the axis.
	f := NewCone(45*deg, false, r2.Vec{}, 0)
	for _, c := range []struct {
		name string
		a, b r2.Vec
		want float64
	}{
		{"chord of a right angle", r2.Vec{X: 1, Y: -1}, r2.Vec{X: 1, Y: 1}, math.Sqrt2 - 1},
		{"through the axis", r2.Vec{X: -2}, r2.Vec{X: 2}, 2},
		{"through the axis, unlike ends", r2.Vec{X: -1}, r2.Vec{X: 3}, 1.5},
		{"radial", r2.Vec{X: 1}, r2.Vec{X: 30}, 0},
		{"no length", r2.Vec{X: 1}, r2.Vec{X: 1}, 0},
	} {
		l := f.Along(c.a, c.b)
		if gap, _ := l.Gap(0, 1); !near(gap, c.want, 1e-9) {
			t.Errorf("%s: gap %v, want %v", c.name, gap, c.want)
		}
	}
}

func TestStraightNeverHidesAGap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := anyField(t)
		a, b := anyLine(t, &f)
		tol := math.Pow(10, rapid.Float64Range(-4, 1).Draw(t, "tol"))
		l := f.Along(a, b)
		if gap, _ := l.Gap(0, 1); l.Straight(tol) && gap > tol*(1+1e-9) {
			t.Fatalf("called straight, but the gap is %v > %v", gap, tol)
		}
	})
}

// fewest counts pieces by brute force, without Reach: each piece is stretched
// by bisection on Gap as far as tol allows. The gap over [t0, t1] grows with
// t1, so greedy stretching needs the fewest pieces.
func fewest(l *Line, tol float64) int {
	pieces, t0 := 0, 0.0
	for t0 < 1 {
		lo, hi := t0, 1.0
		if gap, _ := l.Gap(t0, 1); gap <= tol {
			return pieces + 1
		}
		for range 60 {
			mid := (lo + hi) / 2
			if gap, _ := l.Gap(t0, mid); gap <= tol {
				lo = mid
			} else {
				hi = mid
			}
		}
		t0, pieces = lo, pieces+1
	}
	return pieces
}

func TestGreedyReachNeedsTheFewestPieces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := anyField(t)
		a, b := anyLine(t, &f)
		tol := math.Pow(10, rapid.Float64Range(-3, 0).Draw(t, "tol"))
		l := f.Along(a, b)
		want, got := fewest(&l, tol), 0
		for t0 := 0.0; t0 < 1; got++ {
			t1 := l.Reach(t0, tol)
			if t1 <= t0 {
				t.Fatalf("stuck at %v", t0)
			}
			if gap, _ := l.Gap(t0, t1); gap > tol*(1+1e-6)+1e-11 {
				t.Fatalf("piece [%v, %v] has gap %v > %v", t0, t1, gap, tol)
			}
			if got > want+1 {
				t.Fatalf("more pieces than the fewest, %d", want)
			}
			t0 = t1
		}
		// The last piece may be a sliver of rounding.
		if slack := fewest(&l, tol*(1+1e-6)); got > want || got < slack {
			t.Fatalf("%d pieces, fewest %d", got, want)
		}
	})
}

// sampledAzimuthError interpolates the azimuth over [t0, t1] and takes the
// worst of many samples.
func sampledAzimuthError(f *Field, a, b r2.Vec, t0, t1 float64, samples int) float64 {
	at := func(t float64) float64 {
		azimuth, _ := f.Azimuth(r2.Add(a, r2.Scale(t, r2.Sub(b, a))))
		return azimuth
	}
	a0 := at(t0)
	turn, worst := math.Remainder(at(t1)-a0, 2*math.Pi), 0.0
	for i := 1; i < samples; i++ {
		s := float64(i) / float64(samples)
		off := math.Remainder(at(t0+s*(t1-t0))-a0-s*turn, 2*math.Pi)
		worst = math.Max(worst, math.Abs(off))
	}
	return worst
}

func TestAzimuthErrorAgreesWithSamples(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := anyField(t)
		a, b := anyPoint(t, "a"), anyPoint(t, "b")
		l := f.Along(a, b)
		if d, _ := l.Closest(); d < 0.5 {
			t.Skip("samples can't see the turn close by the axis")
		}
		t0 := rapid.Float64Range(0, 0.99).Draw(t, "t0")
		t1 := rapid.Float64Range(t0+0.001, 1).Draw(t, "t1")
		if got, slow := l.AzimuthError(t0, t1), sampledAzimuthError(&f, a, b, t0, t1, 20000); !near(got, slow, 2e-3) || got < slow-1e-6 {
			t.Fatalf("azimuth errs by %v, sampled %v", got, slow)
		}
	})
}

func TestReachAzimuthAndReachTurnKeepTheirBoundAndMoveOn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := anyField(t)
		a, b := anyLine(t, &f)
		tol := rapid.Float64Range(0.5, 40).Draw(t, "tol") * deg
		l := f.Along(a, b)
		end := rapid.Float64Range(0.1, 1).Draw(t, "end")
		for name, reach := range map[string]func(t0 float64) float64{
			"azimuth":         func(t0 float64) float64 { return l.ReachAzimuth(t0, 1, tol) },
			"azimuth to part": func(t0 float64) float64 { return l.ReachAzimuth(t0, max(t0, end), tol) },
			"turn":            func(t0 float64) float64 { return l.ReachTurn(t0, tol) },
		} {
			pieces := 0
			whole := 1.0
			if name == "azimuth to part" {
				whole = end
			}
			for t0 := 0.0; t0 < whole; pieces++ {
				t1 := reach(t0)
				if t1 <= t0 || t1 > whole || pieces > 1000 {
					t.Fatalf("%s: stuck at %v after %d pieces (to %v)", name, t0, pieces, t1)
				}
				// Nearer to the axis than this a piece jumps over it.
				if d, at := l.Closest(); d > 2*tinyP || at <= t0 || at >= t1 {
					if e := l.AzimuthError(t0, t1); e > tol+1e-6 {
						t.Fatalf("%s: [%v, %v] errs by %v > %v", name, t0, t1, e, tol)
					} else if name != "turn" && t1 < whole && d > 1e-6 && e < 0.97*tol {
						t.Fatalf("%s: [%v, %v] errs by %v only, %v is allowed", name, t0, t1, e, tol)
					}
				}
				t0 = t1
			}
		}
	})
}

func TestClosestFindsTheAxis(t *testing.T) {
	f := NewCone(30*deg, false, r2.Vec{X: 5, Y: 3}, 1)
	l := f.Along(r2.Vec{X: 0, Y: 0}, r2.Vec{X: 20, Y: 0})
	if d, at := l.Closest(); !near(d, 3, 1e-12) || !near(at, 0.25, 1e-12) {
		t.Errorf("closest %v at %v", d, at)
	}
	ramp := NewRamp(1, 0)
	l = ramp.Along(r2.Vec{}, r2.Vec{X: 1})
	if d, _ := l.Closest(); !math.IsInf(d, 1) {
		t.Errorf("a ramp has no axis, yet one at %v", d)
	}
}

// The fast form is held against the one by hyperbolic functions, and against the
// gap itself: near t = 1 either may end the line a rounding sooner.
func TestReachPlainAgreesWithReach(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := anyField(t)
		a, b := anyLine(t, &f)
		tol := math.Pow(10, rapid.Float64Range(-3, 0).Draw(t, "tol"))
		t0 := rapid.Float64Range(0, 1).Draw(t, "t0")
		l := f.Along(a, b)
		got, want := l.ReachPlain(t0, tol), l.Reach(t0, tol)
		if math.Abs(got-want) > 1e-6 {
			t.Fatalf("%v, want %v", got, want)
		}
		if gap, _ := l.Gap(t0, got); gap > tol*(1+1e-6)+1e-11 {
			t.Fatalf("the gap to %v is %v, over %v", got, gap, tol)
		}
	})
}

func ExampleLine_Reach() {
	f := NewCone(math.Pi/4, false, r2.Vec{}, 0)
	l := f.Along(r2.Vec{X: 10, Y: -20}, r2.Vec{X: 10, Y: 20})
	for t := 0.0; t < 1; {
		t = l.Reach(t, 0.5)
		fmt.Printf("y = %.2f\n", -20+40*t)
	}
	// Output:
	// y = -6.96
	// y = -0.03
	// y = 6.88
	// y = 19.82
	// y = 20.00
}

func BenchmarkGap(b *testing.B) {
	f := NewCone(math.Pi/4, false, r2.Vec{}, 1)
	l := f.Along(r2.Vec{X: 10, Y: -20}, r2.Vec{X: 10, Y: 20})
	for b.Loop() {
		l.Gap(0, 1)
	}
}
