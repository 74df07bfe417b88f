package raster

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"
)

// TestStraightRunsPassAllTheirPoints follows lines that wander: every point lies near
// what is drawn, and ends are kept.
func TestStraightRunsPassAllTheirPoints(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		bend := rapid.Float64Range(0, 1.5).Draw(r, "bend")
		at, heading := r2.Vec{X: 300, Y: 300}, rapid.Float64Range(0, 6).Draw(r, "heading")
		points := []r2.Vec{at}
		for range rapid.IntRange(1, 80).Draw(r, "points") {
			heading += rapid.Float64Range(-bend, bend).Draw(r, "turn")
			step := rapid.Float64Range(0.4, 6).Draw(r, "step")
			at = r2.Add(at, r2.Scale(step, r2.Vec{X: math.Cos(heading), Y: math.Sin(heading)}))
			points = append(points, at)
		}
		drawn := appendLine(nil, points, false, nil, 1, stroke{half: 0.5, strength: 1})
		first, last := drawn[0], drawn[len(drawn)-1]
		if math.Hypot(float64(first.x0)-points[0].X, float64(first.y0)-points[0].Y) > 1e-3 ||
			math.Hypot(float64(last.x1)-at.X, float64(last.y1)-at.Y) > 1e-3 {
			r.Fatal("an end is lost")
		}
		for _, p := range points {
			if d := besides(p, drawn); d > nearby+strayed+1e-3 {
				r.Fatalf("%v lies %v beside what is drawn", p, d)
			}
		}
	})
}

func TestAStraightLineIsOneSegment(t *testing.T) {
	var points []r2.Vec
	for i := range 50 {
		points = append(points, r2.Vec{X: 3 * float64(i), Y: 2 * float64(i)})
	}
	if drawn := appendLine(nil, points, false, nil, 1, stroke{half: 0.5, strength: 1}); len(drawn) != 1 {
		t.Errorf("%d segments", len(drawn))
	}
	back := append(points, points[0]) // it turns back: both ways are drawn
	if drawn := appendLine(nil, back, false, nil, 1, stroke{half: 0.5, strength: 1}); len(drawn) != 2 {
		t.Errorf("there and back, %d segments", len(drawn))
	}
}

func besides(p r2.Vec, drawn []segment) float64 {
	least := math.Inf(1)
	for _, s := range drawn {
		a, b := r2.Vec{X: float64(s.x0), Y: float64(s.y0)}, r2.Vec{X: float64(s.x1), Y: float64(s.y1)}
		d := r2.Sub(b, a)
		k := 0.0
		if n := r2.Norm2(d); n > 0 {
			k = max(0, min(r2.Dot(r2.Sub(p, a), d)/n, 1))
		}
		least = min(least, r2.Norm(r2.Sub(p, r2.Add(a, r2.Scale(k, d)))))
	}
	return least
}
