package register

import (
	"context"
	"errors"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/field"
	"conewright/geom/form"
	"conewright/geom/mesh"
)

func top(m *mesh.Mesh) float64 {
	z := 0.0
	for _, v := range m.Vertices {
		z = max(z, v.Z)
	}
	return z
}

// The tips that a ramp's mesh ends in get thinner than a bead: a planner may stop
// some layers early there (common practice, no source). What is broad may not be
// missing: neither at the bottom, where the file then begins in the air, nor at the
// top, where it was cut short.
func TestHeightsWithoutALayer(t *testing.T) {
	const h = 0.35
	d := dialect{walls: 2, fill: 0.2, width: 0.45, relativeE: true}
	block := form.Box(r3.Vec{X: 110, Y: 95}, r3.Vec{X: 134, Y: 107, Z: 10})
	s := shape{m: block, f: field.NewRamp(35*degree, 70*degree)}
	ramp := s.warped()
	for _, c := range []struct {
		name string
		m    *mesh.Mesh
		lo   float64 // layers cut between lo and hi are left out
		hi   float64
		fits bool
	}{
		{"tips", ramp, top(ramp) - 2*h, 99, true},
		{"the upper third", ramp, top(ramp) * 2 / 3, 99, false},
		{"the lowest four layers", block, 0, 4 * h, false},
		{"the highest four layers", block, 10 - 4*h, 99, false},
		{"four layers amid", block, 3.5, 3.5 + 4*h, false},
		{"the lowest three layers of the ramp", ramp, 0, 3 * h, true},
		{"the lower third", ramp, 0, top(ramp) / 3, false},
	} {
		j := planarJob{m: c.m, h: h, d: d, skip: func(mid float64) bool { return mid > c.lo && mid < c.hi }}
		_, err := Find(context.Background(), opener(j.make().text), c.m, Options{LayerHeight: h, LineWidth: d.width})
		var bad *Mismatch
		if errors.As(err, &bad) == c.fits || err != nil && bad == nil {
			t.Errorf("without %s: %v", c.name, err)
		}
	}
}
