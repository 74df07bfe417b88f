package deposition

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// written writes a folder with a level, or slanted, zone on a straight machine
// and the given lines of motion.
func written(t *testing.T, field, lines string) string {
	t.Helper()
	dir := t.TempDir()
	log := `{"conewright_run": 1, "job": {"shell": 0.2, "bead": 0.45, "zones": {"name": "z", "field": ` + field + `}},
		"machine": {"name": "straight", "swivel": null, "head": {"tilt": 0, "profile": [[0, 0.4], [1, 1]]}, "filament": 1.75},
		"zones": [{"name": "z", "field": ` + field + `, "layer_height": 0.2, "drop": 0}]}`
	for name, text := range map[string]string{"run.json": log, "corrected.gcode": "G28\nG1 X0 Y0 Z5\nG21 G90\nM82\nG92 E0\n; zone z\n" + lines} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

const level = `{"kind": "level"}`

// A bead of 20 mm at y and z; E grows by 0.0338 a millimetre.
func beadAt(y, z float64, e *float64) string {
	from := fmt.Sprintf("G1 Z%.3f\nG1 X10 Y%.3f\n", z+2, y)
	*e += 0.677
	return from + fmt.Sprintf("G1 Z%.3f\nG1 X30 E%.5f\nG1 Z%.3f\n", z, *e, z+2)
}

// The checker finds what hand-made motions do wrong, and nothing else.
func TestCheckerFindsFaults(t *testing.T) {
	e := 0.0
	ramp := `{"kind": "ramp", "angle": 14, "toward": 90}`
	sin, cos := math.Sincos(14 * math.Pi / 180)
	slope := sin / cos
	for _, c := range []struct {
		name, field, lines string
		want               string // a word of the only fault; "": none
	}{
		{"on the bed", level, beadAt(10, 0.2, &e), ""},
		{"on a bead", level, beadAt(10, 0.2, &e) + beadAt(10.2, 0.4, &e) + beadAt(10, 0.6, &e), ""},
		{"beside a bead", level, beadAt(10, 0.2, &e) + beadAt(10, 0.4, &e) + beadAt(10, 0.6, &e) + beadAt(10.42, 0.6, &e) + beadAt(10.84, 0.6, &e), "hang"},
		{"in the air", level, beadAt(10, 0.2, &e) + beadAt(10, 1.6, &e), "air"},
		{"the uphill neighbour is dug", ramp, beadAt(10, 0.4, &e) + beadAt(10.4, 0.4-0.4*slope, &e), "dug"},
		{"the downhill neighbour isn't", ramp, beadAt(10.4, 0.4-0.4*slope, &e) + beadAt(10, 0.4, &e), ""},
		{"a travel through a bead", level, beadAt(10, 0.2, &e) + strings.Repeat("G1 X10 Y10.1\nG1 Z0.1\nG1 X30\nG1 Z2\n", 3), "travel"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, err := Lay(written(t, c.field, c.lines))
			if err != nil {
				t.Fatal(err)
			}
			faults := strings.Join(r.Faults(), "; ")
			if c.want == "" && faults != "" || !strings.Contains(faults, c.want) {
				t.Errorf("found %q, want %q (%v)", faults, c.want, &r.Result)
			}
		})
	}
}
