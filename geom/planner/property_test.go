package planner

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"
)

// blob draws a star-shaped outline, smooth or jagged, with or without a hole.
func blob(t *rapid.T) Region {
	n := rapid.IntRange(5, 80).Draw(t, "corners")
	size := rapid.Float64Range(8, 20).Draw(t, "size")
	rough := rapid.Float64Range(0, 0.25).Draw(t, "rough")
	c := off(rapid.Float64Range(-20, 20).Draw(t, "x"), rapid.Float64Range(-20, 20).Draw(t, "y"))
	outline := make([]r2.Vec, n)
	for i := range outline {
		r := size * (1 - rough*rapid.Float64Range(0, 1).Draw(t, "dent"))
		s, co := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		outline[i] = r2.Vec{X: c.X + r*co, Y: c.Y + r*s}
	}
	r := Region{outline}
	if rapid.Bool().Draw(t, "holed") {
		r = append(r, hole(circle(c, size*rapid.Float64Range(0.1, 0.4).Draw(t, "hole"), 60)))
	}
	return r
}

func drawOptions(t *rapid.T) Options {
	o := testOptions()
	shell := rapid.Float64Range(0.1, 0.25).Draw(t, "shell")
	bead := shell * rapid.Float64Range(1.5, 3).Draw(t, "bead / shell")
	o.LayerHeight = shell / math.Cos(rapid.Float64Range(0, math.Pi/4).Draw(t, "angle"))
	o.BeadArea = (bead-shell)*shell + math.Pi*shell*shell/4
	o.Walls = rapid.IntRange(0, 4).Draw(t, "walls")
	o.Pattern = rapid.SampledFrom([]string{PatternRings, PatternLines}).Draw(t, "pattern")
	o.Seam = rapid.SampledFrom([]string{SeamLine, SeamSpread, SeamNearest}).Draw(t, "seam")
	o.OutsideIn = rapid.Bool().Draw(t, "outside in")
	return o
}

func TestAnyFullFillKeepsVolumeInside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, o := blob(t), drawOptions(t)
		o.Fill = 1
		m := planPrism(t, r, 1, o)
		l := &m.Layers[0]
		skin := (m.Options.LineWidth - m.Options.Pitch) / 2 * l.Region.length()
		want := (l.Region.Area() - skin) * o.LayerHeight
		if got := m.volume(); math.Abs(got/want-1) > 0.03 {
			t.Errorf("beads hold %.3f mm3 of %.3f: %.2f %% off", got, want, 100*(got/want-1))
		}
		list := strands(l, &m.Options, 0.3)
		for _, s := range outside(l.Region, list) {
			t.Errorf("a %v of %.3f mm runs %.3f mm from the outline at %.3f", l.Beads[s.bead].Kind, s.begin, l.Region.distance(s.a), r2.Sub(s.a, centre))
		}
		lo, hi := extent(l.Region)
		if share, worst := crossedShare(list, newStrandGrid(list, lo, hi)); share > 0.02 {
			t.Errorf("%.2f %% of the length runs through another bead, worst at %.2f", 100*share, r2.Sub(worst, centre))
		}
	})
}
