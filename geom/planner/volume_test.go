package planner

import (
	"math"
	"testing"
)

func TestFullFillKeepsVolume(t *testing.T) {
	for _, pattern := range []string{PatternRings, PatternLines} {
		for _, s := range shapes() {
			t.Run(pattern+"/"+s.name, func(t *testing.T) {
				o := testOptions()
				o.Fill, o.Pattern = 1, pattern
				m := planPrism(t, s.region, 4, o)
				clean, err := union(s.region)
				if err != nil {
					t.Fatal(err)
				}
				want := clean.Area() * o.LayerHeight * 4
				if got := m.volume(); math.Abs(got/want-1) > 0.04 {
					t.Errorf("beads hold %.3f mm3, the part %.3f: %.2f %% off", got, want, 100*(got/want-1))
				} else {
					t.Logf("%.2f", 100*(got/want-1))
				}
			})
		}
	}
}
