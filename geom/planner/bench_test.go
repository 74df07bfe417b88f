package planner

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// vase is a fluted body whose outline changes with height: sections of a mesh
// of about 100,000 facets, 500 layers.
func vase(layers, corners int) []Region {
	out := make([]Region, layers)
	for i := range out {
		z := float64(i) / float64(layers)
		c := make([]r2.Vec, corners)
		for j := range c {
			a := 2 * math.Pi * float64(j) / float64(corners)
			r := 25 + 8*math.Sin(5*z) + 2*math.Sin(9*a+3*z)
			s, co := math.Sincos(a)
			c[j] = off(r*co, r*s)
		}
		out[i] = Region{c, hole(circle(off(6, 0), 4+2*z, corners/4))}
	}
	return out
}

func BenchmarkPlan500Layers(b *testing.B) {
	for _, pattern := range []string{PatternRings, PatternLines} {
		b.Run(pattern, func(b *testing.B) {
			o := testOptions()
			o.Pattern = pattern
			o, _ = o.filled()
			sections := vase(500, 450)
			b.ReportAllocs()
			for b.Loop() {
				m, err := planSections(context.Background(), sections, o, nil)
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(float64(len(m.Layers)), "layers")
			}
		})
	}
}
