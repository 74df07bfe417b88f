package solid_test

import (
	"slices"
	"testing"

	"conewright/render/internal/shape"
	"conewright/render/solid"

	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// TestAcrossYFindsWhatALookAtAllFinds takes planes between vertices and through
// them.
func TestAcrossYFindsWhatALookAtAllFinds(t *testing.T) {
	m := shape.Knot(r3.Vec{X: 125, Y: 105}, 30, 5000)
	s := solid.New(m)
	rapid.Check(t, func(r *rapid.T) {
		y := rapid.Float64Range(60, 150).Draw(r, "y")
		if rapid.Bool().Draw(r, "vertex") {
			y = m.Vertices[rapid.IntRange(0, len(m.Vertices)-1).Draw(r, "of")].Y
		}
		var want []int32
		for i := range m.Facets {
			a, b, c := m.Corners(i)
			behind := [3]bool{a.Y >= y, b.Y >= y, c.Y >= y}
			if behind != [3]bool{} && behind != [3]bool{true, true, true} {
				want = append(want, int32(i))
			}
		}
		if got := s.AcrossY(y); !slices.Equal(got, want) {
			r.Fatalf("%d facets at %v, not %d", len(got), y, len(want))
		}
	})
}
