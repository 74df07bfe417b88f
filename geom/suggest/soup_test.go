package suggest

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"conewright/geom/mesh"
)

// Whatever the mesh, there is an answer or an error, and no panic: open
// surfaces, slivers, facets within one another, parts as flat as paper.
func TestAnyMeshIsAnswered(t *testing.T) {
	cards := []string{"swivel-45", "straight"}
	rapid.Check(t, func(rt *rapid.T) {
		n := rapid.IntRange(3, 12).Draw(rt, "vertices")
		m := &mesh.Mesh{}
		at := rapid.SampledFrom([]float64{0, 0, 1e-5, 0.01, 1, 3, 10, 25, 60})
		for range n {
			m.Vertices = append(m.Vertices, r3.Vec{X: at.Draw(rt, "x"), Y: at.Draw(rt, "y"), Z: at.Draw(rt, "z")})
		}
		index := rapid.IntRange(0, n-1)
		for range rapid.IntRange(1, 20).Draw(rt, "facets") {
			m.Facets = append(m.Facets, [3]int32{int32(index.Draw(rt, "a")), int32(index.Draw(rt, "b")), int32(index.Draw(rt, "c"))})
		}
		c := card(t, rapid.SampledFrom(cards).Draw(rt, "card"))
		plans, err := Plans(context.Background(), m, Options{Card: c}, nil)
		if err == nil && len(plans) == 0 {
			rt.Fatal("neither plans nor an error")
		}
		for _, p := range plans {
			if f := p.Figures; math.IsNaN(f.OverhangArea) || math.IsNaN(f.WarpedHeight) || p.Why == "" {
				rt.Fatalf("%+v", p)
			}
		}
	})
}
