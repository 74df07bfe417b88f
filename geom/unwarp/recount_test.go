package unwarp_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"conewright/geom/unwarp"
)

// CONTRACT, counts_to: a G92 between beads takes whole turns and lengths off before
// E or the swivel pass it; the beads stay where they are.
func TestWordsAreCountedAnewBetweenBeads(t *testing.T) {
	const most = 720.0
	var b strings.Builder
	e := 0.0
	for ring := range 12 {
		fmt.Fprintf(&b, "G1 X120 Y100 Z%.3f F6000\n", 60+0.3*float64(ring))
		for i := 1; i <= 72; i++ {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / 72)
			e += 1.5
			fmt.Fprintf(&b, "G1 X%.3f Y%.3f E%.5f F2400\n", 100+20*cos, 100+20*sin, e)
		}
		e--
		fmt.Fprintf(&b, "G1 E%.5f F2100\n", e)
		e++
		fmt.Fprintf(&b, "G1 X119 Y100 F6000\nG1 E%.5f F2100\n", e)
	}
	z := &unwarp.Zone{Name: "z", Field: outward(45), LayerHeight: 0.28}
	free := *builtin(t, "swivel-45")
	bounded := free
	bounded.CountsTo = most
	_, _, want := corrected(t, &free, z, b.String())
	text, _, have := corrected(t, &bounded, z, b.String())
	if n := strings.Count(text, "G92 C"); n < 3 {
		t.Errorf("the swivel is counted anew %d times in 12 turns, want at least 3", n)
	}
	if n := strings.Count(text, "G92 E0"); n < 2 {
		t.Errorf("E is counted anew %d times", n)
	}
	if len(want) != len(have) {
		t.Fatalf("%d moves, %d without the bound", len(have), len(want))
	}
	for i := range want {
		if want[i].To != have[i].To || math.Abs(want[i].E-have[i].E) > 1e-9 {
			t.Fatalf("line %d: %v pushing %g, without the bound %v pushing %g", have[i].Line, have[i].To, have[i].E, want[i].To, want[i].E)
		}
	}
	for i, l := range strings.Split(text, "\n") {
		for _, w := range strings.Fields(l)[min(1, len(strings.Fields(l))):] {
			var v float64
			if (w[0] == 'C' || w[0] == 'E') && strings.HasPrefix(l, "G1") {
				if fmt.Sscanf(w[1:], "%g", &v); math.Abs(v) > most {
					t.Fatalf("line %d counts to %g: %s", i+1, v, l)
				}
			}
		}
	}
}
