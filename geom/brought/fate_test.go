package brought

import (
	"strings"
	"testing"
)

// Words that a file of an own slicer may hold amid the print, from memory.
func TestOnlyHarmlessWordsPass(t *testing.T) {
	for want, lines := range map[fate]string{
		passes:  "M104 S215|M109 R180|M140 S60 T1|m106s255|M107|M117 M206 is a text|M118 G28|M0|M600|M400|G4 P200|G04 S1",
		leftOut: "M73 P5|M204 S900|M900 K0.05|M9999 Q1|M106.5 S1|M10600|T0|M75|M221 S95|M104 S200 M900 K1",
		stops: "M206 X5|M290 Z0.1|M851 Z-1|M92 E400|M211 S0|M302 S0|M98 P\"a\"|M32 a|M303 E0|M280 P0|M112|M81|M2|M30|M997|M6 T1|" +
			"M104 S200 M206 X5|G4 P1 M112|m206x5|M 206 X5",
	} {
		for line := range strings.SplitSeq(lines, "|") {
			if got := fateOf(line); got != want {
				t.Errorf("%q: %d, want %d", line, got, want)
			}
		}
	}
}
