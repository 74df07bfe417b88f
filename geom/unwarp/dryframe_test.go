package unwarp

import (
	"bufio"
	"bytes"
	"strings"
	"testing"

	"conewright/geom/machine"
)

// A dry run makes the start's and the end's moves too, raised where they say Z,
// and keeps what shifts a frame.
func TestDryRunKeepsMovesAndShiftsOfStartAndEnd(t *testing.T) {
	const start = "G28\nM104 S200\nM206 X5\nG1 Z5 F600\nG92 E0\nG1 X2 Y10 E5\nG92 X30 Z2 E0\nG1 E3 F200\nG55\n"
	const inside = "G21\nG90\nM82\nG92 E0\nG94\nG1 C0 F600\nG1 Z7 F600\nG1 X9 E1 F900\n"
	const end = "M83\nG1 E-1 F2100\nG91\nG1 Z10 F600\nG90\nG1 X0 Z40\nG28 X\nM104 S0\nM84\n"
	var dry bytes.Buffer
	if err := DryRun(bufio.NewReader(strings.NewReader(start+inside+end)), &dry, DryOptions{Raise: [3]float64{2: 20}, Travel: machine.Travel{Z: machine.Limits{0, 200}}, First: 10, Last: 17}); err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, l := range strings.Split(dry.String(), "\n") {
		if l != "" && l[0] != ';' {
			got = append(got, l)
		}
	}
	want := "G28|M206 X5|G1 Z25 F600|G1 X2 Y10|G92 X30 Z22|G1 F200|G55|G21|G90|G94|G1 C0 F600|G1 Z27|G1 X9 F900|G1 F2100|G91|G1 Z10 F600|G90|G1 X0 Z60|G28 X|M84"
	if have := strings.Join(got, "|"); have != want {
		t.Errorf("have %s\nwant %s", have, want)
	}
	for line, want := range map[string]string{"G92 Z3": "G92 Z3", "G92": "G92", "g1z195": "G1 Z200", "G20": "G20", "G92 E0": "", "START Z5": "", "M82": ""} {
		f := dryFrame{}
		if got := string(f.words(nil, []byte(line), &DryOptions{Raise: [3]float64{2: 20}, Travel: machine.Travel{Z: machine.Limits{0, 200}}})); got != want {
			t.Errorf("%q became %q, want %q", line, got, want)
		}
	}
}
