package ownfield

import (
	"context"
	"math"
	"testing"

	"conewright/geom/form"
	"conewright/geom/overhang"
	"conewright/geom/section"
	"conewright/geom/warp"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

var (
	swell = wave{12, 12}
	// plate reaches over the wave from x = -30 to 30 and floats.
	plate = form.Box(r3.Vec{X: -30, Y: -10, Z: 20}, r3.Vec{X: 30, Y: 10, Z: 24})
)

// The underside of a plate stands free where the shells' normal leans less than
// the limit asks for. Sampled densely; what samples miss lies on the borders.
func TestPartsAreWarpedAndJudged(t *testing.T) {
	f := swell.field(t)
	const tol = 0.02
	refined, err := warp.Refine(context.Background(), plate, &f, tol)
	if err != nil {
		t.Fatal(err)
	}
	for i := range refined.Facets {
		a, b, c := refined.Corners(i)
		const n = 8
		for j := range n + 1 {
			for k := range n + 1 - j {
				v, w := float64(j)/n, float64(k)/n
				p := r3.Add(a, r3.Add(r3.Scale(v, r3.Sub(b, a)), r3.Scale(w, r3.Sub(c, a))))
				if off := math.Abs(swell.at(a.X) + v*(swell.at(b.X)-swell.at(a.X)) + w*(swell.at(c.X)-swell.at(a.X)) - swell.at(p.X)); off > tol {
					t.Fatalf("facet %d is off by %v at %v", i, off, p)
				}
			}
		}
	}
	limit := math.Sin((45 + overhang.SlackDeg) * math.Pi / 180)
	area, step := 0.0, 0.001
	for x := -30 + step/2; x < 30; x += step {
		if -swell.normal(x).Z < -limit {
			area += 20 * step
		}
	}
	for _, side := range [2]float64{-1, 1} { // the ends lean where the shells do
		if side*swell.normal(30*side).X < -limit {
			area += 20 * 4
		}
	}
	if got := overhang.Find(plate, &f, 45).Area; math.Abs(got-area) > 0.01*area {
		t.Errorf("%v mm2 unsupported, sampled %v", got, area)
	}
	if starts := overhang.MidairStarts(refined, &f, nil, 0.3); len(starts) != 2 { // one in each trough
		t.Errorf("%d starts: %v", len(starts), starts)
	}
}

// Each shell's cut through the plate runs where z + f = c on the plate's surface,
// and encloses the area that stands in the plate at that shell, sampled.
func TestPartsAreCutByTheShells(t *testing.T) {
	f := swell.field(t)
	// Cuts are exact for facets on which the lift is straight: the refined ones.
	refined, err := warp.Refine(context.Background(), plate, &f, 0.002)
	if err != nil {
		t.Fatal(err)
	}
	levels := []float64{9, 16, 21, 24, 31, 35.5}
	curves, err := section.Curves(context.Background(), refined, &f, levels)
	if err != nil {
		t.Fatal(err)
	}
	for i, c := range curves {
		area := 0.0
		for _, line := range c.Lines {
			for k, p := range line {
				q := line[(k+1)%len(line)]
				area += r2.Cross(r2.Vec{X: p.X, Y: p.Y}, r2.Vec{X: q.X, Y: q.Y}) / 2
				for _, at := range []float64{0, 0.25, 0.5} {
					m := r3.Add(p, r3.Scale(at, r3.Sub(q, p)))
					if off := math.Abs(m.Z + swell.at(m.X) - c.C); off > 0.02 {
						t.Fatalf("shell %v: its cut is %v mm off at %v", c.C, off, m)
					}
				}
			}
		}
		want, step := 0.0, 0.001
		for x := -30 + step/2; x < 30; x += step {
			if z := levels[i] - swell.at(x); z > 20 && z < 24 {
				want += 20 * step
			}
		}
		if len(c.Chains) > 0 || want == 0 || math.Abs(area-want) > 0.01*want {
			t.Errorf("shell %v: %v mm2 and %d open lines, sampled %v mm2", c.C, area, len(c.Chains), want)
		}
	}
}
