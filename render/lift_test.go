package render

import (
	"math"
	"testing"

	"conewright/geom/field"
	"conewright/geom/form"
	"conewright/geom/mesh"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// TestWarpedZonesTouch: a ramp counts from the bed's corner and would lift its
// zone by as much as the part is away from that.
func TestWarpedZonesTouch(t *testing.T) {
	under := form.Box(r3.Vec{X: 100, Y: 100}, r3.Vec{X: 140, Y: 120, Z: 20})
	over := form.Box(r3.Vec{X: 100, Y: 100, Z: 20}, r3.Vec{X: 140, Y: 120, Z: 30})
	over.Origins = make([]mesh.Origin, len(over.Facets))
	for i := range over.Facets {
		a, b, c := over.Corners(i)
		if a.Z == 20 && b.Z == 20 && c.Z == 20 {
			over.Origins[i] = mesh.CapBase
		}
	}
	for _, f := range []field.Field{field.NewRamp(math.Pi/4, 0), field.NewRamp(math.Pi/4, math.Pi), {}} {
		zones := []Zone{{Mesh: under}, {Mesh: over, Field: f}}
		for _, warp := range []float64{0.5, 1} {
			s := shifts(zones, warp)
			gap := math.Inf(1)
			for _, x := range []float64{100, 140} {
				gap = math.Min(gap, warp*f.At(r2.Vec{X: x, Y: 110})+s[1]-s[0])
			}
			if math.Abs(gap) > 1e-9 {
				t.Errorf("%v at %v: %g mm apart", f, warp, gap)
			}
		}
	}
}

// BenchmarkShifts measures what a frame of a warping part costs beside its drawing.
func BenchmarkShifts(b *testing.B) {
	part := form.Turned([]r2.Vec{{}, {X: 15}, {X: 8, Y: 10}, {X: 8, Y: 26}, {X: 20, Y: 26}, {X: 20, Y: 34}, {Y: 34}}, 2000)
	zones := []Zone{{Mesh: part, Field: field.NewCone(math.Pi/4, false, r2.Vec{X: 1}, 0)}}
	for b.Loop() {
		shifts(zones, 0.7)
	}
}
