package register

import (
	"context"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

func BenchmarkFind(b *testing.B) {
	s := shapes()[4]
	m := s.warped()
	d := dialect{walls: 3, fill: 1, width: 0.45}
	file := planarJob{m: m, h: 0.1, d: d, shift: r3.Vec{X: 10}}.make()
	b.SetBytes(int64(len(file.text)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Find(context.Background(), opener(file.text), m, Options{LayerHeight: 0.1, LineWidth: 0.45}); err != nil {
			b.Fatal(err)
		}
	}
}
