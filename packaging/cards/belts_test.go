package cards

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"conewright/packaging/contract"
	"conewright/packaging/program"
	"conewright/packaging/reading"
)

// slantingCards are machines whose linear axes aren't those of the bed, or have no
// end, as changes of a built-in card.
var slantingCards = map[string]struct {
	of      string
	changes string
	ramp    float64 // angle of the gantry's plane
}{
	"belt-45": {"belt-45", `{}`, 45},
	"gantry of 35 degrees": {"belt-45", `{"end": "M104 S0\nM140 S0", "linear": {"x": [1, 0, 0], "y": [0, 1, 0], "z": [-0.8191520443, 0, 0.5735764364]},
		"head": {"tilt": 35, "off_square": 20, "tip_free": 1, "tip": [12, -3, -41], "profile": [[0, 0.3], [1, 0.8], [6, 4.5], [20, 12], [40, 14]], "boxes": []}}`, 35},
	"belt as z, the other way round": {"belt-45", `{"end": "M104 S0\nM140 S0", "travel": {"x": [0, 220], "y": [-250, 0], "z": null}, "feed_basis": "inverse-time",
		"linear": {"x": [0, 1, 0], "y": [0.7071067812, 0, -0.7071067812], "z": [-1, 0, 0]}}`, 45},
	"odd directions": {"belt-45", `{"end": "M104 S0\nM140 S0", "travel": {"x": null, "y": [-300, 300], "z": [-300, 300]}, "decimals": {"xyz": 4, "angle": 3, "e": 5},
		"linear": {"x": [0.8, 0.6, 0], "y": [0, 0.96, 0.28], "z": [-0.6, 0, 0.8]}}`, 45},
	"straight head, slanting gantry": {"straight", `{"end": "M104 S0\nM140 S0", "travel": {"x": [0, 500], "y": [0, 210], "z": [0, 200]}, "feed_basis": "all-axes",
		"linear": {"x": [1, 0, 0], "y": [0, 1, 0], "z": [-0.6, 0, 0.8]}}`, 15},
	"straight head over a belt": {"straight", `{"travel": {"x": null, "y": [0, 210], "z": [0, 200]}}`, 15},
	"swivel over a belt":        {"swivel-45", `{"travel": {"x": null, "y": [0, 210], "z": [0, 200]}}`, 45},
	"turning head off its axis on a slanting belt": {"belt-45", `{"end": "M104 S0\nM140 S0", "feed_basis": "inverse-time",
		"rotary": [{"letter": "B", "on": "head", "about": [0, 0, -1], "at": [6, -4, 0], "sense": -1, "zero": 20, "range": [-400, 400]}],
		"head": {"tilt": 45, "off_square": 20, "tip_free": 1, "tip": [9, -3, -41], "profile": [[0, 0.3], [1, 0.8], [6, 4.5], [20, 12], [40, 14]], "boxes": []}}`, 45},
	"turning bed under odd directions": {"turning-bed-45", `{"end": "M104 S0\nM140 S0", "travel": {"x": [-900, 900], "y": [-900, 900], "z": [-900, 900]}, "decimals": {"xyz": 4, "angle": 4, "e": 5},
		"linear": {"x": [0.8, 0.6, 0], "y": [0, 0.96, 0.28], "z": [-0.6, 0, 0.8]}}`, 45},
	"two-axis head on odd directions": {"two-axis-head", `{"end": "M104 S0\nM140 S0", "travel": {"x": [-900, 900], "y": [-900, 900], "z": [-900, 900]}, "decimals": {"xyz": 4, "angle": 4, "e": 5},
		"linear": {"x": [0.8, 0.6, 0], "y": [0, 0.96, 0.28], "z": [-0.6, 0, 0.8]}}`, 40},
	"two belts crossed": {"straight", `{"travel": {"x": null, "y": null, "z": [0, 200]}, "linear": {"x": [0.6, 0.8, 0], "y": [-0.8, 0.6, 0], "z": [0, 0, 1]}}`, 15},
	"swivel on odd directions": {"swivel-45", `{"travel": {"x": [-500, 500], "y": [-500, 500], "z": [-300, 300]}, "decimals": {"xyz": 4, "angle": 3, "e": 5},
		"linear": {"x": [0.8, 0.6, 0], "y": [0, 0.96, 0.28], "z": [-0.6, 0, 0.8]}}`, 45},
}

// changed returns a built-in card with other entries.
func changed(t *testing.T, of, changes string) string {
	t.Helper()
	values := map[string]any{}
	if err := json.Unmarshal([]byte(card(t, filepath.Join("../../assets/machines", of+".json"), "")), &values); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal([]byte(changes), &values); err != nil {
		t.Fatal(err)
	}
	data, err := json.Marshal(values)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// onBelt runs a demo part in coarse shells, seated off the middle of everything.
func onBelt(t *testing.T, card, part, field string) (out string, done program.Outcome) {
	t.Helper()
	dir := t.TempDir()
	file, err := filepath.Abs("../../assets/parts/" + part + ".stl")
	if err != nil {
		t.Fatal(err)
	}
	job := fmt.Sprintf(`{"conewright": 1, "part": {"file": %q, "seat": [131, 102]}, "machine": %s, "shell": 0.3, "bead": 0.7, "zones": {"name": "z", "field": %s}}`, file, card, field)
	name := filepath.Join(dir, "job.json")
	if err := os.WriteFile(name, []byte(job), 0o644); err != nil {
		t.Fatal(err)
	}
	out = filepath.Join(dir, "out")
	return out, program.Call(t, "-job", name, "-out", out)
}

// saysWhy checks that a run that wrote no motion says by a finding what the machine
// can't do.
func saysWhy(t *testing.T, out string) {
	t.Helper()
	log, err := reading.ReadLog(out)
	if err != nil {
		t.Fatal(err)
	}
	stop := ""
	for _, f := range log.Findings {
		if f.Rank == "stop" {
			stop = f.Code + ": " + f.Text
		}
	}
	if stop == "" || strings.Contains(stop, "deviation") {
		t.Fatal("nothing is written, and no finding of the machine says why", stop)
	}
	t.Log(stop)
}

// slantingFields are fields for a gantry of that angle.
func slantingFields(angle float64) map[string]string {
	return map[string]string{
		"level":            `{"kind": "level"}`,
		"ramp":             fmt.Sprintf(`{"kind": "ramp", "angle": %g, "toward": 0}`, angle),
		"ramp aside":       fmt.Sprintf(`{"kind": "ramp", "angle": %g, "toward": 50}`, angle-10),
		"cone from beside": fmt.Sprintf(`{"kind": "cone", "grow": "outward", "angle": %g, "axis": [40, 102]}`, angle),
		"cone about it":    fmt.Sprintf(`{"kind": "cone", "grow": "outward", "angle": %g, "axis": [131, 102]}`, angle),
		"cone into it":     fmt.Sprintf(`{"kind": "cone", "grow": "inward", "angle": %g, "axis": [215, 102]}`, angle-5),
	}
}

// Linear axes that slant or have no end: the run ends well, or a finding says why
// not; what it writes keeps the contract in the part's frame, pose by pose, and on
// every axis.
func TestSlantingAxesKeepTheContract(t *testing.T) {
	if testing.Short() {
		t.Skip("runs many jobs")
	}
	parts := []string{"bracket", "hopper", "cleat", "davit", "penstock", "cowl"}
	n := 0
	names := []string{}
	for name := range slantingCards {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		c := slantingCards[name]
		fields := slantingFields(c.ramp)
		for _, kind := range []string{"level", "ramp", "ramp aside", "cone from beside", "cone about it", "cone into it"} {
			part := parts[n%len(parts)]
			n++
			if kind == "cone into it" {
				n++ // each card begins with another part
			}
			t.Run(name+", "+kind+", "+part, func(t *testing.T) {
				t.Parallel()
				out, o := onBelt(t, changed(t, c.of, c.changes), part, fields[kind])
				switch o.Status {
				case 0:
				case 3:
					saysWhy(t, out)
					return
				default:
					t.Fatalf("exit %d: %s", o.Status, o.Stderr)
				}
				for _, fault := range contract.Check(out) {
					t.Error(fault)
				}
			})
		}
	}
}

// On a belt the part gets the beads that a swivelling head lays on the same ramp:
// its nozzle stands the same way.
func TestABeltLaysTheSameBeads(t *testing.T) {
	if testing.Short() {
		t.Skip("runs jobs")
	}
	const ramp = `{"kind": "ramp", "angle": 45, "toward": 0}`
	for _, part := range []string{"bracket", "cowl"} {
		out, o := onBelt(t, `"swivel-45"`, part, ramp)
		if o.Status != 0 {
			t.Fatalf("exit %d: %s", o.Status, o.Stderr)
		}
		want := trailOf(t, out)
		for _, name := range []string{"belt-45", "belt as z, the other way round", "odd directions"} {
			t.Run(part+", "+name, func(t *testing.T) {
				c := slantingCards[name]
				out, o := onBelt(t, changed(t, c.of, c.changes), part, ramp)
				if o.Status != 0 {
					t.Fatalf("exit %d: %s", o.Status, o.Stderr)
				}
				have := trailOf(t, out)
				d, at := have.far(&want)
				back, there := want.far(&have)
				const most = 0.02 // mm
				if math.Max(d, back) > most {
					t.Errorf("beads lie %.4f mm apart at %v, %.4f at %v", d, at, back, there)
				}
				t.Logf("%d and %d pieces, at most %.4f and %.4f mm apart", len(have.to), len(want.to), d, back)
			})
		}
	}
}

// beltClearJobs are jobs on which a leaning head that no axis turns comes near to
// what is printed: cards, parts, zones.
var beltClearJobs = map[string][3]string{
	"bracket, ramp":          {"belt-45", "bracket", `{"name": "z", "field": {"kind": "ramp", "angle": 45, "toward": 0}}`},
	"hopper, gantry of 35":   {"gantry of 35 degrees", "hopper", `{"name": "z", "field": {"kind": "ramp", "angle": 35, "toward": 0}}`},
	"bollard, odd":           {"odd directions", "bollard", `{"name": "z", "field": {"kind": "ramp", "angle": 40, "toward": 20}}`},
	"penstock, from beside":  {"belt-45", "penstock", `{"name": "z", "field": {"kind": "cone", "grow": "outward", "angle": 45, "axis": [60, 105]}}`},
	"davit, ramp over level": {"belt as z, the other way round", "davit", `{"cut": {"point": [125, 105, 4], "normal": [0, 0, 1]}, "under": {"name": "foot", "field": {"kind": "level"}}, "over": {"name": "rest", "field": {"kind": "ramp", "angle": 45, "toward": 0}}}`},
}

// Where a run on slanting axes finds no collision, the head meets neither beads nor
// bed; a head that is far too wide does, and the run says so.
func TestBeltHeadIsClearByBruteForce(t *testing.T) {
	if testing.Short() {
		t.Skip("runs jobs")
	}
	for job, spec := range beltClearJobs {
		t.Run(job, func(t *testing.T) {
			c := slantingCards[spec[0]]
			out, o := demo(t, changed(t, c.of, c.changes), spec[1], spec[2])
			if o.Status != 0 {
				t.Fatalf("exit %d: %s", o.Status, o.Stderr)
			}
			s := newSweep(t, out)
			s.moments(4000)
			if found(s.log, "collision") {
				t.Fatalf("the run finds a collision; brute force %.3f mm, %s", s.depth, s.where)
			}
			const mostDeep, mostBed = 0.1, 0.015 // mm: what the run forgives, and where a bead's face is
			if s.depth > mostDeep || s.bed > mostBed {
				t.Errorf("%s; %.3f mm into beads, %.3f mm into the bed", s.where, s.depth, s.bed)
			}
			t.Logf("%d moments, %d places: %.3f mm into beads, %.3f mm into the bed", s.poses, len(s.points), s.depth, s.bed)
		})
	}
	t.Run("too wide", func(t *testing.T) {
		wide := changed(t, "belt-45", `{"head": {"tilt": 45, "off_square": 20, "tip_free": 1, "profile": [[0, 0.3], [1, 3], [6, 25], [40, 40]]}}`)
		out, o := demo(t, wide, "bracket", `{"name": "z", "field": {"kind": "ramp", "angle": 45, "toward": 0}}`)
		if o.Status != 0 {
			t.Fatalf("exit %d: %s", o.Status, o.Stderr)
		}
		s := newSweep(t, out)
		s.moments(200)
		if s.bed < 1 {
			t.Errorf("brute force finds the head %.3f mm in the bed at most", s.bed)
		}
		if !found(s.log, "collision") {
			t.Error("the run finds no collision")
		}
	})
}
