package solid

import (
	"testing"

	"conewright/render/internal/shape"

	"gonum.org/v1/gonum/spatial/r3"
)

// BenchmarkHierarchy100000 measures the hierarchy alone, without edges.
func BenchmarkHierarchy100000(b *testing.B) {
	s := &Solid{Mesh: shape.Knot(r3.Vec{X: 125, Y: 105, Z: 40}, 50, 100_000)}
	s.measure()
	for b.Loop() {
		s.build()
	}
}
