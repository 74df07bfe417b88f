package unwarp_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"conewright/geom/unwarp"
)

// A swivel of one turn, or little more, reaches every azimuth: beads that cross
// its limit are broken there, and only a narrower one can't print them.
func TestRangesOfAboutOneTurn(t *testing.T) {
	var planar strings.Builder
	planar.WriteString(rings(4))
	e := 1000.0
	planar.WriteString("G92 E1000\n")
	for i := range 12 { // lines past the axis, the nearest 0.3 mm off
		y := 100.3 + 0.7*float64(i)
		fmt.Fprintf(&planar, "G1 X90 Y%.3f Z22 F7200\n", y)
		e++
		fmt.Fprintf(&planar, "G1 X110 Y%.3f E%.5f F1800\n", y, e)
	}
	for _, c := range []struct {
		within [2]float64
		fits   bool
	}{
		{[2]float64{-180, 180}, true}, {[2]float64{-90, 270}, true}, {[2]float64{-360, 0}, true}, {[2]float64{0, 360}, true},
		{[2]float64{-182, 182}, true}, {[2]float64{-100, 263}, true}, {[2]float64{-5, 365}, true}, {[2]float64{-170, 170}, false},
	} {
		card := builtin(t, "swivel-45")
		own, swivel := *card, *card.Swivel
		swivel.Range = &c.within
		own.Swivel = &swivel
		z := &unwarp.Zone{Name: "z", Field: outward(45), LayerHeight: 0.28}
		_, stats, steps := corrected(t, &own, z, planar.String())
		if (stats.OutOfRange.Count == 0) != c.fits {
			t.Errorf("%v: %d beads out of range", c.within, stats.OutOfRange.Count)
		}
		for i := range steps {
			s := &steps[i]
			if w := s.Words[1].Turn[0]; c.fits && (w < c.within[0]-0.001 || w > c.within[1]+0.001) {
				t.Fatalf("%v, line %d: the swivel turns to %g", c.within, s.Line, w)
			}
			if turned := math.Abs(s.Words[1].Turn[0] - s.Words[0].Turn[0]); s.Lays() && turned > 180 {
				t.Fatalf("%v, line %d: a bead turns by %g", c.within, s.Line, turned)
			}
		}
		if got, want := stats.Zones[0].ContactFilament, stats.Zones[0].PlanarFilament; math.Abs(got-want) > 1e-9*want {
			t.Errorf("%v: %g mm of filament laid, %g planned", c.within, got, want)
		}
	}
}
