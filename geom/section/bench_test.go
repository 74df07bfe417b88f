package section_test

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"conewright/geom/field"
	"conewright/geom/form"
	"conewright/geom/mesh"
	"conewright/geom/section"
)

// fineRing has 2 n^2 facets and is 40 mm high.
func fineRing(n int) *mesh.Mesh {
	var profile []r2.Vec
	for i := range n {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		profile = append(profile, r2.Vec{X: 30 + 20*c, Y: 20 + 20*s})
	}
	return form.Turned(profile, n)
}

func ramp(lo, hi float64, n int) (values []float64) {
	for i := range n {
		values = append(values, lo+(hi-lo)*(float64(i)+0.5)/float64(n))
	}
	return values
}

func BenchmarkSectionsOfAMillionFacets(b *testing.B) {
	m, heights := fineRing(708), ramp(0, 40, 1000)
	for b.Loop() {
		if _, err := section.Sections(context.Background(), m, heights); err != nil {
			b.Fatal(err)
		}
	}
}

// What a drawing asks for while its axis is dragged.
func BenchmarkHundredCurves(b *testing.B) {
	m, f := fineRing(224), field.NewCone(math.Pi/4, false, r2.Vec{X: 3}, 0)
	values := ramp(10, 80, 100)
	for b.Loop() {
		if _, err := section.Curves(context.Background(), m, &f, values); err != nil {
			b.Fatal(err)
		}
	}
}
