package field

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"
)

// anyPolyline draws a line of up to most points whose segments don't meet.
func anyPolyline(t *rapid.T, most int) []r2.Vec {
	n := rapid.IntRange(1, most).Draw(t, "points")
	at := r2.Vec{X: rapid.Float64Range(-20, 20).Draw(t, "x"), Y: rapid.Float64Range(-20, 20).Draw(t, "y")}
	way := rapid.Float64Range(-3, 3).Draw(t, "way")
	line := []r2.Vec{at}
	for range n - 1 {
		length := rapid.Float64Range(5, 40).Draw(t, "length")
		sin, cos := math.Sincos(way)
		at = r2.Add(at, r2.Vec{X: length * cos, Y: length * sin})
		line = append(line, at)
		way += rapid.Float64Range(-0.5, 0.5).Draw(t, "turn")
	}
	return line
}

func anyLineField(t *rapid.T) Field { return anyFieldAbout(t, anyPolyline(t, 5)) }

// anyFieldAbout draws a ridge or a profile about a line.
func anyFieldAbout(t *rapid.T, line []r2.Vec) Field {
	angle := func(lo float64) float64 { return rapid.Float64Range(lo, 70).Draw(t, "angle") * deg }
	if rapid.Bool().Draw(t, "ridge") {
		round := 0.0
		if rapid.Bool().Draw(t, "rounded") {
			round = rapid.Float64Range(0.1, 8).Draw(t, "round")
		}
		return NewRidge(angle(1), rapid.Bool().Draw(t, "inward"), line, round)
	}
	distances, angles := []float64{0}, []float64{angle(-70)}
	if rapid.Bool().Draw(t, "level on the line") {
		angles[0] = 0
	}
	for range rapid.IntRange(1, 4).Draw(t, "knots") {
		distances = append(distances, distances[len(distances)-1]+rapid.Float64Range(0.5, 30).Draw(t, "step"))
		angles = append(angles, angle(-70))
	}
	return NewProfile(line, distances, angles)
}

func TestARidgeAboutOnePointIsTheCone(t *testing.T) {
	p := r2.Vec{X: 3, Y: 4}
	if NewRidge(0.7, true, []r2.Vec{p, p}, 2) != NewCone(0.7, true, p, 2) {
		t.Error("it isn't")
	}
}

func TestAProfileOfOneAngleIsTheRidge(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		line, angle := anyPolyline(t, 5), rapid.Float64Range(-60, 60).Draw(t, "angle")*deg
		f := NewProfile(line, []float64{0, 3, 9}, []float64{angle, angle, angle})
		g := NewRidge(math.Abs(angle), angle < 0, line, 0)
		if p := anyPoint(t, "p"); f.At(p) != g.At(p) {
			t.Fatalf("%v and %v at %v", f.At(p), g.At(p), p)
		}
	})
}

// The lift is the integral of the slope over the distance (CONTRACT, Formulas),
// summed here by small steps; the distance is taken point by point.
func TestProfilesFollowTheContract(t *testing.T) {
	line := []r2.Vec{{X: 0}, {X: 10}}
	f := NewProfile(line, []float64{0, 5, 30}, []float64{0, 45 * deg, 20 * deg})
	slope := func(r float64) float64 {
		switch {
		case r < 5:
			return r / 5
		case r < 30:
			return 1 + (r-5)/25*(math.Tan(20*deg)-1)
		}
		return math.Tan(20 * deg)
	}
	for _, p := range []r2.Vec{{X: 5, Y: 3}, {X: 5, Y: -20}, {X: 13, Y: 4}, {X: -50}, {X: 2}} {
		r := math.Hypot(math.Max(0, math.Max(-p.X, p.X-10)), p.Y)
		want, step := 0.0, r/1e5
		for i := range 100000 {
			want += slope((float64(i)+0.5)*step) * step
		}
		if got := f.At(p); !near(got, want, 1e-6) {
			t.Errorf("at %v: %v, want %v", p, got, want)
		}
	}
}

func TestGradientsAboutLinesAreTheDerivatives(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, p := anyLineField(t), anyPoint(t, "p")
		const h = 1e-5
		if f.Apart(p) < 0.01 || f.Crease(p) < 0.01 {
			t.Skip("no derivative")
		}
		g, _ := f.Grad(p)
		gx := (f.At(r2.Vec{X: p.X + h, Y: p.Y}) - f.At(r2.Vec{X: p.X - h, Y: p.Y})) / (2 * h)
		gy := (f.At(r2.Vec{X: p.X, Y: p.Y + h}) - f.At(r2.Vec{X: p.X, Y: p.Y - h})) / (2 * h)
		if !near(g.X, gx, 1e-4) || !near(g.Y, gy, 1e-4) { // a knot between the two places bends by h times the curvature
			t.Fatalf("gradient %v, by differences %v %v", g, gx, gy)
		}
		least, most := f.Slopes(p, 1)
		if l := r2.Norm(g); l < least-1e-9 || l > most+1e-9 || most > f.Slope()+1e-9 {
			t.Fatalf("steepness %v, bounds %v to %v, greatest %v", l, least, most, f.Slope())
		}
	})
}

// lineNear draws a segment, often across or along the field's line.
func lineNear(t *rapid.T, f *Field) (a, b r2.Vec) {
	spread := math.Pow(10, rapid.Float64Range(-1, 2).Draw(t, "spread"))
	near := func(name string) r2.Vec {
		p := r2.Vec{X: rapid.Float64Range(-1, 1).Draw(t, name+"x"), Y: rapid.Float64Range(-1, 1).Draw(t, name+"y")}
		line := f.Line()
		return r2.Add(line[rapid.IntRange(0, len(line)-1).Draw(t, name)], r2.Scale(spread, p))
	}
	return near("a"), near("b")
}

// searched is how much of a gap the search along lines and in triangles misses at
// most, mm: a tenth of the default tolerance. Reading the motion back finds what it
// adds up to.
const searched = 2e-3

// About a point only: about a line the search misses more, rarely.
func TestGapAndReachAboutPointsAgreeWithSamples(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := anyFieldAbout(t, anyPolyline(t, 1))
		a, b := lineNear(t, &f)
		l := f.Along(a, b)
		gap, _ := l.Gap(0, 1)
		const samples = 4000
		slow := sampledGap(&f, a, b, 0, 1, samples)
		step := r2.Norm(r2.Sub(b, a)) / samples
		if slow > gap*(1+gapShare)+searched || gap > slow+2*f.Slope()*step+1e-9 {
			t.Fatalf("gap %v, sampled %v", gap, slow)
		}
		tol := math.Pow(10, rapid.Float64Range(-2, 0).Draw(t, "tol"))
		if l.Straight(tol) && slow > tol*(1+gapShare)+searched {
			t.Fatalf("called straight, but the gap is %v > %v", slow, tol)
		}
		pieces := 0
		for t0 := 0.0; t0 < 1; pieces++ {
			t1 := l.Reach(t0, tol)
			if t1 <= t0 || pieces > 5000 {
				t.Fatalf("stuck at %v", t0)
			}
			if got := sampledGap(&f, a, b, t0, t1, 200); got > tol*(1+gapShare)+searched {
				t.Fatalf("piece [%v, %v] has gap %v > %v", t0, t1, got, tol)
			}
			t0 = t1
		}
	})
}

// About a point only: about a line the search inside a triangle can miss a tenth of
// the gap, as the gap's own search along a line misses a hundredth.
func TestBendBoundsTheTrianglesGap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := anyFieldAbout(t, anyPolyline(t, 1))
		a, b := lineNear(t, &f)
		d := r2.Sub(b, a)
		c := r2.Add(a, r2.Vec{X: 0.5*d.X - 0.7*d.Y, Y: 0.5*d.Y + 0.7*d.X})
		longest := math.Max(r2.Norm(d), r2.Norm(r2.Sub(c, a)))
		middle := r2.Scale(1.0/3, r2.Add(a, r2.Add(b, c)))
		radius := math.Max(r2.Norm(r2.Sub(a, middle)), math.Max(r2.Norm(r2.Sub(b, middle)), r2.Norm(r2.Sub(c, middle))))
		slow := triangleGap(&f, a, b, c, 40)
		if bound := f.Bend(middle, radius) * longest * longest / 6; slow > bound*(1+1e-9)+1e-9 {
			t.Fatalf("gap %v over the bound %v", slow, bound)
		}
		closed := edgesGap(&f, a, b, c)
		inside, _, ok := f.GapInside(a, b, c, 0)
		if ok {
			closed = math.Max(closed, inside)
		}
		if slow > closed*(1+gapShare)+2*leastGap+1e-3*slow {
			t.Fatalf("gap %v (inside %v, %v), sampled %v", closed, inside, ok, slow)
		}
	})
}

// About a point only: reaching an azimuth about a line can creep where a segment
// runs nearly through the line's end or along its bends. A run through such a field
// is slow or is stopped by reading it back; it is not wrong in silence.
func TestAzimuthsAboutPointsAreReachedWithinTheirBound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := anyFieldAbout(t, anyPolyline(t, 1))
		a, b := lineNear(t, &f)
		l := f.Along(a, b)
		tol := rapid.Float64Range(2, 20).Draw(t, "tol") * deg
		marks := []float64{0}
		for _, j := range l.Jumps(nil, 0.005) {
			marks = append(marks, j.T)
		}
		marks = append(marks, 1)
		for i := 1; i < len(marks); i++ {
			pieces := 0
			for t0 := marks[i-1]; t0 < marks[i]-1e-9; pieces++ {
				t1 := l.ReachAzimuth(t0, marks[i], tol)
				if t1 <= t0 || pieces > 3000 {
					t.Fatalf("stuck at %v of %v after %d pieces", t0, marks, pieces)
				}
				inside := 1e-6 * (t1 - t0)
				if apart := l.Apart(); apart > 0.05 {
					if e := sampledAzimuthError(&f, a, b, t0+inside, t1-inside, 300); e > tol*1.1+1e-3 {
						t.Fatalf("[%v, %v] errs by %v > %v", t0, t1, e, tol)
					}
				}
				t0 = t1
			}
		}
	})
}

// Where the gradient's direction jumps from one sample to the next, far from any
// place where it isn't defined, a crease is crossed: it is told once.
func TestCrossingsOfCreasesAreToldOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := NewRidge(45*deg, rapid.Bool().Draw(t, "inward"), anyPolyline(t, 5), 0)
		a, b := lineNear(t, &f)
		l := f.Along(a, b)
		jumps := l.Jumps(nil, 0.005)
		for i := 1; i < len(jumps); i++ {
			if (jumps[i].T-jumps[i-1].T)*r2.Norm(r2.Sub(b, a)) < 1e-6 {
				t.Fatalf("one place twice: %v", jumps)
			}
		}
		const samples = 2000
		at := func(i int) r2.Vec { return r2.Add(a, r2.Scale(float64(i)/samples, r2.Sub(b, a))) }
		for i := 1; i < samples-1; i++ {
			p, q := at(i), at(i+1)
			if step := r2.Norm(r2.Sub(q, p)); f.Apart(p) < 10*step || f.Apart(q) < 10*step {
				continue
			}
			g, _ := f.Grad(p)
			h, _ := f.Grad(q)
			if math.Abs(math.Atan2(r2.Cross(g, h), r2.Dot(g, h))) < 0.3 {
				continue
			}
			found := false
			for _, j := range jumps {
				found = found || j.T > float64(i)/samples-1e-9 && j.T < float64(i+1)/samples+1e-9
			}
			if !found {
				t.Fatalf("between %v and %v the gradient goes from %v to %v: told are %v", p, q, g, h, jumps)
			}
		}
	})
}
