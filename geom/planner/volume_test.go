package planner

import (
	"math"
	"testing"

	"conewright/geom/polygon"
)

// The outermost bead's round side leaves half of line width - pitch free along
// the outline, by the volume law; in thin shapes that alone is over 4 %.
func TestFullFillKeepsVolume(t *testing.T) {
	const layers = 2
	for _, pattern := range []string{PatternRings, PatternLines} {
		for _, s := range shapes() {
			t.Run(pattern+"/"+s.name, func(t *testing.T) {
				o := testOptions()
				o.Fill, o.Pattern = 1, pattern
				m := planPrism(t, s.region, layers, o)
				clean, err := polygon.Union(s.region)
				if err != nil {
					t.Fatal(err)
				}
				area := clean.Area()
				if s.skin {
					area -= (m.Options.LineWidth - m.Options.Pitch) / 2 * clean.Length()
				}
				want := area * o.LayerHeight * layers
				if got := m.volume(); math.Abs(got/want-1) > 0.04 {
					t.Errorf("beads hold %.3f mm3, the part %.3f: %.2f %% off", got, want, 100*(got/want-1))
				}
			})
		}
	}
}
