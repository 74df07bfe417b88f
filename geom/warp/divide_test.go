package warp

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"conewright/geom/field"
)

func TestEdgesAreCutIntoTheFewestPiecesWithoutSlivers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := field.NewCone(rapid.Float64Range(5, 70).Draw(t, "angle")*deg, false, r2.Vec{}, rapid.SampledFrom([]float64{0, 0.01, 3}).Draw(t, "round"))
		a := r2.Vec{X: rapid.Float64Range(-90, 90).Draw(t, "ax"), Y: rapid.Float64Range(-90, 90).Draw(t, "ay")}
		b := r2.Vec{X: rapid.Float64Range(-90, 90).Draw(t, "bx"), Y: rapid.Float64Range(-90, 90).Draw(t, "by")}
		tol := math.Pow(10, rapid.Float64Range(-4, 0).Draw(t, "tol"))
		line := f.Along(a, b)
		cuts, ok := divide(&line, tol, 1e6, nil)
		if greedy := stretch(&line, tol, 1e6, nil); !ok || len(cuts) > len(greedy) {
			t.Fatalf("%d cuts, greedy %d", len(cuts), len(greedy))
		}
		last, worst := 0.0, 0.0
		for _, c := range append(cuts, 1) {
			gap, _ := line.Gap(last, c)
			if gap > tol*(1+1e-6) || c <= last || c > 1 {
				t.Fatalf("piece [%v, %v] has gap %v > %v", last, c, gap, tol)
			}
			last, worst = c, math.Max(worst, gap)
		}
		// Far from the axis the pieces are alike, so a sliver would show.
		if d, _ := line.Closest(); len(cuts) > 1 && d > 10 {
			before := 0.0
			if len(cuts) > 1 {
				before = cuts[len(cuts)-2]
			}
			if 1-cuts[len(cuts)-1] < 0.3*(cuts[len(cuts)-1]-before) {
				t.Fatalf("last piece is a sliver: %v", cuts[len(cuts)-2:])
			}
		}
	})
}

func TestTheFewestPiecesOfAKnownChord(t *testing.T) {
	// A 45-degree cone, the chord of a right angle at distance 100: its gap is
	// 100 (sqrt 2 - 1) = 41.4. Halves meet at the place of the greatest gap,
	// the middle.
	f := field.NewCone(45*deg, true, r2.Vec{}, 0)
	line := f.Along(r2.Vec{X: 100, Y: -100}, r2.Vec{X: 100, Y: 100})
	for _, c := range []struct {
		tol  float64
		cuts int
	}{{42, 0}, {41, 1}, {12, 1}, {5, 2}} {
		cuts, _ := divide(&line, c.tol, 100, nil)
		if len(cuts) != c.cuts || c.cuts == 1 && math.Abs(cuts[0]-0.5) > 1e-12 {
			t.Errorf("tolerance %v: cuts %v, want %d", c.tol, cuts, c.cuts)
		}
	}
}
