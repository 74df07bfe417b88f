package render

import (
	"math"
	"testing"

	"conewright/geom/field"
	"conewright/render/hidden"

	"gonum.org/v1/gonum/spatial/r3"
)

// TestShellsSeenEdgeOnAreThinned looks at level shells on slopes of a plane: on
// paper they lie step / sin(slope) * sin(slope + elevation) apart.
func TestShellsSeenEdgeOnAreThinned(t *testing.T) {
	const elevation, step = 30., 2.
	se, ce := math.Sincos(elevation * math.Pi / 180)
	toward := r3.Vec{Y: -ce, Z: se}
	for _, c := range []struct {
		slope float64 // degrees, rising away from the viewer; he sees it edge on at -30
		want  int
	}{{60, 1}, {10, 1}, {-20, 1}, {-24, 1}, {-26, 2}, {-28, 4}, {-29, 8}, {-29.99, mostDecluttered}, {-40, 1}} {
		s, cos := math.Sincos(c.slope * math.Pi / 180)
		p := hidden.Path{Points: []r3.Vec{{}, {X: 1}, {X: 2}}, Normals: []r3.Vec{{Y: -s, Z: cos}, {Y: -s, Z: cos}}}
		z := &zoneModel{field: field.Field{}}
		if got := z.every(&p, toward, step); got != c.want {
			t.Errorf("slope %g: one of %d, not of %d (gap %.3f)", c.slope, got, c.want, z.gap(&p, toward, step))
		}
	}
}
