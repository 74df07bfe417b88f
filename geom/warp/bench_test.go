package warp

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/field"
	"conewright/geom/form"
	"conewright/geom/mesh"
)

// egg is a fine, closed mesh of 2 n^2 facets or so, about 80 mm large.
func egg(n int) *mesh.Mesh {
	var profile [][2]float64
	for i := range n + 1 {
		sin, cos := math.Sincos(math.Pi * float64(i) / float64(n))
		if i == 0 || i == n {
			sin = 0
		}
		profile = append(profile, [2]float64{30 * sin, 40 - 40*cos})
	}
	return turned(r2.Vec{X: 8, Y: 3}, profile, n)
}

// The mesh is fine: few cuts are needed.
func BenchmarkWarpMillionFineFacets(b *testing.B) {
	m, f := egg(708), field.NewCone(45*deg, false, r2.Vec{}, 0)
	benchmarkWarp(b, m, &f, 0.02)
}

// The same with a rounded apex.
func BenchmarkWarpMillionFineFacetsRounded(b *testing.B) {
	m, f := egg(708), field.NewCone(45*deg, true, r2.Vec{}, 2)
	benchmarkWarp(b, m, &f, 0.02)
}

// Every edge needs cuts: 20,000 facets become several hundred thousand.
func BenchmarkWarpCoarseFacets(b *testing.B) {
	m, f := egg(100), field.NewCone(45*deg, false, r2.Vec{}, 1)
	benchmarkWarp(b, m, &f, 0.0005)
}

func BenchmarkWarpHugePlate(b *testing.B) {
	m, f := form.Box(r3.Vec{X: -120, Y: -100}, r3.Vec{X: 120, Y: 100, Z: 20}), field.NewCone(45*deg, false, r2.Vec{X: 1}, 0)
	benchmarkWarp(b, m, &f, 0.001)
}

func benchmarkWarp(b *testing.B, m *mesh.Mesh, f *field.Field, tol float64) {
	var facets int
	for b.Loop() {
		warped, _, err := Warp(context.Background(), m, f, tol)
		if err != nil {
			b.Fatal(err)
		}
		facets = len(warped.Facets)
	}
	b.ReportMetric(float64(len(m.Facets)), "facets-in")
	b.ReportMetric(float64(facets), "facets-out")
}
