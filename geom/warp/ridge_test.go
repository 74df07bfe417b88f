package warp

import (
	"context"
	"math"
	"testing"
	"time"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/field"
	"conewright/geom/form"
)

func TestProfilesWarpWithinTolerance(t *testing.T) {
	m := form.Box(r3.Vec{X: 105, Y: 85}, r3.Vec{X: 145, Y: 125, Z: 8})
	f := field.NewProfile([]r2.Vec{{X: 110, Y: 100}, {X: 140, Y: 112}}, []float64{0, 5, 30}, []float64{0, 45 * deg, 20 * deg})
	ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
	defer cancel()
	r := &refinement{mesh: m, field: &f, tol: 0.02, limit: 20000}
	refined, err := r.run(ctx)
	if err != nil {
		t.Fatal(err)
	}
	t.Log(len(refined.Facets))
	worst := 0.0
	for i := range refined.Facets {
		a, b, c := refined.Corners(i)
		fa, fb, fc := f.At(plan(a)), f.At(plan(b)), f.At(plan(c))
		const n = 12
		for j := 0; j <= n; j++ {
			for k := 0; j+k <= n; k++ {
				v, w := float64(j)/n, float64(k)/n
				p := r3.Add(a, r3.Add(r3.Scale(v, r3.Sub(b, a)), r3.Scale(w, r3.Sub(c, a))))
				worst = math.Max(worst, math.Abs(fa+v*(fb-fa)+w*(fc-fa)-f.At(plan(p))))
			}
		}
	}
	if worst > 0.02*1.001 {
		t.Errorf("off by %v", worst)
	}
}
