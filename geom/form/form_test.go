package form

import (
	"math"
	"testing"

	"conewright/geom/mesh"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

func TestFormsAreClosedAndHoldTheirVolume(t *testing.T) {
	box := Box(r3.Vec{X: 1, Y: 2, Z: 3}, r3.Vec{X: 4, Y: 6, Z: 8})
	sector := math.Sin(2*math.Pi/64) * 64 / (2 * math.Pi) // of a polygon of 64 sides, against its circle
	for name, c := range map[string]struct {
		m    *mesh.Mesh
		want float64
	}{
		"box":      {box, 60},
		"moved":    {Moved(box, r3.Vec{X: 9, Y: 9, Z: 9}), 60},
		"inverted": {Inverted(box), -60},
		"joined":   {Joined(box, Moved(box, r3.Vec{X: 9})), 120},
		"prism":    {Prism([]r2.Vec{{}, {X: 4}, {X: 4, Y: 1}, {X: 1, Y: 1}, {X: 1, Y: 5}, {Y: 5}}, 1, 3), 16},
		"cone":     {Turned([]r2.Vec{{}, {X: 3}, {Y: 7}}, 64), math.Pi * 9 * 7 / 3 * sector},
		"pipe":     {Turned([]r2.Vec{{X: 2}, {X: 3}, {X: 3, Y: 7}, {X: 2, Y: 7}}, 64), math.Pi * 5 * 7 * sector},
		// Theorem of Pappus and Guldin: area times the way of its centroid.
		"torus": {Torus(5, 2, 64, 64), math.Pi * 4 * sector * 2 * math.Pi * 5 * sector},
	} {
		if got := c.m.Volume(); math.Abs(got-c.want) > 1e-9*math.Abs(c.want) {
			t.Errorf("%s: volume %g, want %g", name, got, c.want)
		}
		if h := c.m.Check(); h.OpenEdges != 0 || h.NonManifoldEdges != 0 || h.Flipped != 0 && c.want > 0 {
			t.Errorf("%s: %v", name, h)
		}
	}
}
