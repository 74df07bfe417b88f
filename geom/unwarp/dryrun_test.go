package unwarp

import (
	"bufio"
	"bytes"
	"strings"
	"testing"
)

// Lines of other people's starts and ends, as they stand in files.
func TestDryRunKeepsWhatMovesNoFilamentAndNoHeat(t *testing.T) {
	for line, want := range map[string]bool{
		"G28": true, "g28": true, "G28 X Y": true, "g28x0y0": true, "G21G90": true, "G29 P1": true, "G4 P500": true,
		"M117 Heating E1 to 200": true, "M84 X Y Z": true, "G90 G94": true, "G 28 X 0": true,
		"M104 S200": false, "g1x5e3": false, "G90 G1 X5 E3": false, "G92 E0": false, "G28 E": false, "M84 E": false,
		"G10": false, "START_PRINT BED=60": false, "G38.2 Z-5": false, "X5 Y5": false, "T0": false, "M600": false,
		"M83": false, "GET_READY": false, "M400 G1 X5": false, "": true, "*": false,
	} {
		if got := harmless([]byte(line)); got != want {
			t.Errorf("%q harmless: %v", line, got)
		}
	}
}

func TestDryRunAsksForHomingWhereTheStartHidesIt(t *testing.T) {
	for start, want := range map[string]bool{"START_PRINT": true, "g28x0": false} {
		var dry bytes.Buffer
		text := start + "\nG21\nG1 X5 F600\nM84\n"
		if err := DryRun(bufio.NewReader(strings.NewReader(text)), &dry, DryOptions{Raise: [3]float64{2: 20}, First: 2, Last: 3}); err != nil {
			t.Fatal(err)
		}
		if got := strings.Contains(dry.String(), "home the machine"); got != want {
			t.Errorf("after %q the dry run asks for homing: %v", start, got)
		}
	}
}
