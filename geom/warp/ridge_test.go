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
	"conewright/geom/mesh"
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

// Where the lift bends both ways, the chord of a part of an edge can stray farther
// than the chord of the whole: pieces beside such an edge of the bracket never ended.
func TestPiecesBesideAnEdgeThatBendsBothWaysEnd(t *testing.T) {
	m, _, err := mesh.ReadFile(context.Background(), "../../assets/parts/bracket.stl", mesh.ReadOptions{})
	if err != nil {
		t.Fatal(err)
	}
	box := m.Bounds()
	for i := range m.Vertices {
		m.Vertices[i].X += 125 - (box.Min.X+box.Max.X)/2
		m.Vertices[i].Y += 105 - (box.Min.Y+box.Max.Y)/2
	}
	line := []r2.Vec{{X: 105, Y: 95}, {X: 128, Y: 108}, {X: 140, Y: 98}}
	f := field.NewProfile(line, []float64{0, 5, 15, 40}, []float64{0, 40 * deg, -20 * deg, 30 * deg})
	ctx, cancel := context.WithTimeout(context.Background(), 60*time.Second)
	defer cancel()
	r := &refinement{mesh: m, field: &f, tol: 0.02, limit: 100000}
	if _, err := r.run(ctx); err != nil {
		t.Error(err)
	}
}
