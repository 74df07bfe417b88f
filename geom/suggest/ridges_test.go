package suggest

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"conewright/geom/form"
	"conewright/geom/mesh"
)

// The I-beam shelf: a wall 4 x 60 x 30 with a flange 30 x 60 x 4 on it wants one ridge
// along the middle of the wall, x = 125, and nothing unsupported.
func TestShelfOnAWallGetsOneRidge(t *testing.T) {
	m := blocks([]box{{-2, 2, -30, 30, 0, 30}, {-15, 15, -30, 30, 30, 34}}, nil).Seat(125, 105)
	plans := plansOf(t, m, Options{Card: card(t, "swivel-45")})
	p := &plans[0]
	f := p.Zones.Field
	if p.Zones.Cut != nil || f.Kind != Ridge || f.Inward || p.Figures.OverhangArea > 0 || p.Figures.MidairStarts > 0 {
		t.Fatalf("the first plan: %s", p.Why)
	}
	want := []r2.Vec{{X: 125, Y: 75}, {X: 125, Y: 135}}
	for _, q := range want {
		if d := fromLine(q, f.Line); d > 0.02 {
			t.Errorf("the ridge is about %v, %.3f mm from %v", f.Line, d, q)
		}
	}
	if math.Abs(f.AngleDeg-45) > 1 {
		t.Errorf("the nozzle stands %.1f degrees off square", math.Abs(f.AngleDeg-45))
	}
}

// A wall along an arc of 120 degrees, with a flange on it.
func TestShelfOnAWallThatBendsGetsARidgeWithBends(t *testing.T) {
	bow := func(width, low, high float64) *mesh.Mesh {
		var outline []r2.Vec
		const steps, radius = 24, 40.0
		for side := range 2 {
			r := radius + width/2 - float64(side)*width
			var row []r2.Vec
			for i := range steps + 1 {
				sin, cos := math.Sincos(float64(i) / steps * 120 * math.Pi / 180)
				row = append(row, r2.Vec{X: r * cos, Y: r * sin})
			}
			if side == 1 {
				slices.Reverse(row)
			}
			outline = append(outline, row...)
		}
		return form.Prism(outline, low, high)
	}
	m := form.Joined(bow(4, 0, 30.5), bow(24, 30, 34)).Seat(125, 105)
	plans := plansOf(t, m, Options{Card: card(t, "swivel-45")})
	p := &plans[0]
	if f := p.Zones.Field; p.Zones.Cut != nil || f.Kind != Ridge || len(f.Line) < 4 || p.Figures.MidairStarts > 0 || p.Figures.OverhangArea > 0.01*p.Figures.LevelArea {
		t.Errorf("the first plan: %s", p.Why)
	}
}

// A post is as long as wide: rings about its middle suit it.
func TestPostsGetNoRidge(t *testing.T) {
	m := blocks([]box{{-6, 6, -5, 5, 0, 30}, {-25, 25, -5, 5, 30, 36}}, nil).Seat(125, 105)
	plans := plansOf(t, m, Options{Card: card(t, "swivel-45")})
	if f := plans[0].Zones.Field; plans[0].Zones.Cut != nil || f.Kind != Cone {
		t.Errorf("the first plan: %s", plans[0].Why)
	}
}
