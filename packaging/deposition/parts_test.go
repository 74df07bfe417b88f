package deposition

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"conewright/packaging/madeparts"
	"conewright/packaging/program"
)

// job writes a part and a job for it, with one zone, and returns the job's file.
func job(t testing.TB, dir string, mesh madeparts.Mesh, card, field, planner string) string {
	t.Helper()
	return zonedJob(t, dir, mesh, card, fmt.Sprintf(`{"name": "z", "field": %s}`, field), planner)
}

// zonedJob writes a part and a job for it, with a tree of zones, and returns the
// job's file.
func zonedJob(t testing.TB, dir string, mesh madeparts.Mesh, card, zones, planner string) string {
	t.Helper()
	if err := mesh.WriteSTL(filepath.Join(dir, "part.stl")); err != nil {
		t.Fatal(err)
	}
	text := fmt.Sprintf(`{"conewright": 1, "part": {"file": "part.stl"}, "machine": %q, "shell": 0.2, "bead": 0.45, "tolerance": 0.02,
		"overhang": 45, "planner": {%s}, "zones": %s}`, card, planner, zones)
	file := filepath.Join(dir, "job.json")
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return file
}

// lay runs a job and lays its beads.
func lay(t testing.TB, dir, job string) *Run {
	t.Helper()
	out := filepath.Join(dir, "out")
	o := program.Call(t, "-job", job, "-out", out, "-accept")
	if o.Status != 0 {
		t.Fatalf("exit %d: %s", o.Status, o.Stderr)
	}
	r, err := Lay(out)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Made parts with fields that fit them keep the limits, whatever the fill.
func TestMadePartsRest(t *testing.T) {
	if testing.Short() {
		t.Skip("runs many jobs")
	}
	var all figures
	t.Cleanup(func() { all.write(t) })
	patterns := []string{"rings", "spokes", "lines", "grid"}
	for i, p := range madeparts.Simple() {
		for j, card := range []string{"swivel-45", "straight"} {
			field := p.Tilted
			if card == "straight" {
				field = p.Straight
			}
			pattern := patterns[(i+j)%len(patterns)]
			name := strings.Join([]string{p.Name, card, pattern}, ", ")
			t.Run(name, func(t *testing.T) {
				t.Parallel()
				dir := t.TempDir()
				r := lay(t, dir, job(t, dir, p.Mesh, card, field, fmt.Sprintf(`"fill_pattern": %q`, pattern)))
				all.add(name, r)
				// On three axes walls that run up a ramp side by side dig 0.062 mm: a hair
				// more than the limit, whatever their order.
				if card != "straight" || !strings.Contains(field, "ramp") {
					for _, fault := range r.RimFaults() {
						t.Error(fault)
					}
				}
				for _, fault := range append(r.Faults(), r.Disagreements()...) {
					judge(t, fault)
				}
				if r.Hanging > 0 && r.Overhang() == 0 {
					judge(t, fmt.Sprintf("beads hang where no surface does, longest %v", r.LongestHang))
				}
			})
		}
	}
}
