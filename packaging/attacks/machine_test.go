package attacks

import (
	"math"
	"path/filepath"
	"strings"
	"testing"

	"conewright/packaging/contract"
	"conewright/packaging/madeparts"
	"conewright/packaging/reading"
)

// A start that shifts the frame: either not passed on, or taken back, or the
// motion isn't written. Where beads lie, they lie on the bed's plan.
func TestBroughtStartCannotShiftTheFrame(t *testing.T) {
	for _, shift := range []string{
		"G1 X30 Y20 Z2\nG92 X5.5 Y-3.25 Z2.5\n", "G1 X30 Y20 Z2\nG92 X0 Y0\n", "M206 X5\n", "G10 L2 P1 X5\n", "G54\n", "G55\n", "G20\n", "G91\n", "M83\n", "G18\n", "G93\n",
	} {
		t.Run(strings.ReplaceAll(strings.TrimSpace(shift), "\n", ", "), func(t *testing.T) {
			t.Parallel()
			b := newBench(t, madeparts.Box(12, 10, 3))
			own := b.planar()
			b.write("job.json", b.job(map[string]any{"start_from": "file"}))
			head := "G28\nM140 S60\nM104 S210\n" + shift
			back := "G21\nG90\nM82\nG94\n" // the file itself means what it says
			o := b.brings("out", head+back+own)
			if o.Status == 2 || o.Status == 3 {
				if b.read("out/corrected.gcode") != "" {
					t.Error("a refused motion was written")
				}
				return
			}
			log, err := reading.ReadLog(b.path("out"))
			if err != nil {
				t.Fatal(err)
			}
			path, err := reading.ReadPath(filepath.Join(b.path("out"), "corrected.gcode"), log.Machine)
			if err != nil {
				t.Fatal(err)
			}
			low, high, lowest := math.Inf(1), math.Inf(-1), math.Inf(1)
			for _, s := range path.Steps {
				if s.Extrudes() && s.Zone >= 0 {
					low, high = math.Min(low, s.To.XYZ[0]), math.Max(high, s.To.XYZ[0])
					lowest = math.Min(lowest, s.To.XYZ[2])
				}
			}
			if low < 119 || high > 131 || lowest < 0.09 {
				t.Errorf("beads lie from x %g to %g, down to %g; the part stands from 119 to 131", low, high, lowest)
			}
			for _, fault := range contract.Check(b.path("out")) {
				t.Error(fault)
			}
		})
	}
}

// M words that shift, calibrate, reset, run other files or end the program never
// get through.
func TestForeignWordsDoNotGetThrough(t *testing.T) {
	b := newBench(t, madeparts.Box(10, 10, 2))
	own := strings.Split(b.planar(), "\n")
	for _, word := range []string{
		"M206 X5", "M290 Z-1", "M851 Z-2", "M92 E500", "M211 S0", "M302 P1", "M98 P\"x.g\"", "M32 !x#", "M303 E0 S200", "M280 P0 S10", "M112",
		"M81", "M2", "M30", "M997", "M6", "M500", "M502", "M428", "M666 X1", "M665 L10", "M999", "M108",
	} {
		half := len(own) / 2
		o := b.brings("out", strings.Join(own[:half], "\n")+"\n"+word+"\n"+strings.Join(own[half:], "\n"))
		name, _, _ := strings.Cut(word, " ")
		for _, file := range []string{"corrected.gcode", "dry-run.gcode"} {
			for line := range strings.Lines(b.read("out/" + file)) {
				if line = strings.TrimSpace(line); line == word || strings.HasPrefix(line, name+" ") {
					t.Errorf("%s stands in %s (exit %d)", word, file, o.Status)
				}
			}
		}
		if o.Status == 0 && !b.has("out", "foreign") {
			t.Errorf("%s was left out without a finding", word)
		}
	}
}

// Too hot is a stop.
func TestTooHotIsAStop(t *testing.T) {
	b := newBench(t, madeparts.Box(10, 10, 2))
	own := b.planar()
	for _, word := range []string{"M104 S999", "M109 S400", "M140 S300", "M190 S500", "M109 R900"} {
		if o := b.brings("out", word+"\n"+own); o.Status != 3 || b.read("out/corrected.gcode") != "" {
			t.Errorf("%s: exit %d, want 3", word, o.Status)
		}
	}
	b.write("job.json", b.job(map[string]any{"material": map[string]any{"nozzle_temp": 900, "bed_temp": 60}}))
	if o := b.run("out"); o.Status != 2 && o.Status != 3 {
		t.Errorf("a job of 900 degrees: exit %d", o.Status)
	}
}

// A start or end that can't be right is told.
func TestStartAndEndAreJudged(t *testing.T) {
	b := newBench(t, madeparts.Box(10, 10, 2))
	good := b.card(nil)
	for name, change := range map[string]map[string]any{
		"no start":           {"start": ""},
		"no homing":          {"start": "M140 S{bed_temp}\nM109 S{nozzle_temp}\nG1 Z5 F600"},
		"no heat":            {"start": "G28\nG1 Z5 F600"},
		"a misspelt name":    {"start": strings.Replace(good["start"].(string), "{nozzle_temp}", "{nozle_temp}", 1)},
		"words of no sense":  {"start": good["start"].(string) + "\nhello world M104 S300"},
		"under the bed":      {"start": good["start"].(string) + "\nG1 Z-20"},
		"heat is never off":  {"end": "G91\nG1 Z10 F600\nG90\nM84"},
		"a control letter":   {"start": good["start"].(string) + "\nG1 Z5\x07"},
		"an end under z = 0": {"end": good["end"].(string) + "\nG1 Z-5"},
	} {
		b.write("job.json", b.job(map[string]any{"machine": b.card(change)}))
		if o := b.run("out"); o.Status == 0 && !b.has("out", "start") {
			t.Errorf("%s: exit 0 and no word", name)
		}
	}
}

// The planner's own file, brought unchanged, comes back where it was.
func TestOwnFileComesBackWhereItWas(t *testing.T) {
	for _, size := range [][3]float64{{8, 8, 3}, {12, 20, 1.2}, {20, 20, 3}, {30, 6, 1}, {5, 5, 9}} {
		for kind, field := range map[string]any{
			"level": map[string]any{"kind": "level"},
			"ramp":  map[string]any{"kind": "ramp", "angle": 10, "toward": 0},
			"cone":  map[string]any{"kind": "cone", "grow": "outward", "angle": 12, "axis": []float64{125, 105}},
		} {
			b := newBench(t, madeparts.Box(size[0], size[1], size[2]))
			b.write("job.json", b.job(map[string]any{"zones": map[string]any{"name": "z", "field": field}}))
			o := b.brings("out", b.planar())
			log, err := reading.ReadLog(b.path("out"))
			if kind == "ramp" && o.Status == 3 && !*strict {
				t.Logf("%v, ramp: its own file is refused", size)
				continue
			}
			if o.Status != 0 || err != nil {
				t.Errorf("%v, %s: exit %d %s", size, kind, o.Status, lastLine(o))
				continue
			}
			planned, err := reading.ReadLog(b.path("plain"))
			if err != nil {
				t.Fatal(err)
			}
			z := log.Zones[0]
			if math.Abs((*z.Register)[2]) > 0.02 || math.Hypot((*z.Register)[0], (*z.Register)[1]) > 0.05 || *z.Shells != *planned.Zones[0].Shells {
				t.Errorf("%v, %s: register %v, %d shells of %d", size, kind, *z.Register, *z.Shells, *planned.Zones[0].Shells)
			}
		}
	}
}

// A part that ends half way through a layer of 0.2 mm has that layer in the planner's
// own file: it is none too many.
func TestOwnFileThatEndsAmidALayerIsTaken(t *testing.T) {
	b := newBench(t, madeparts.Box(6, 19, 7.3))
	b.write("job.json", b.job(map[string]any{"zones": map[string]any{"name": "z", "field": map[string]any{"kind": "level"}}}))
	o := b.brings("out", b.planar())
	log, err := reading.ReadLog(b.path("out"))
	if o.Status != 0 || err != nil {
		t.Fatalf("exit %d %s", o.Status, lastLine(o))
	}
	if dz := (*log.Zones[0].Register)[2]; math.Abs(dz) > 0.02 {
		t.Errorf("moved by %.3f mm in z", dz)
	}
}

// Words and filament are brought back before they pass the card's limit.
func TestWordsStayWithinCountsTo(t *testing.T) {
	b := newBench(t, madeparts.Revolve([2]float64{0, 0}, [2]float64{6, 0}, [2]float64{6, 4}, [2]float64{0, 4}))
	b.write("job.json", b.job(map[string]any{"machine": "swivel-45", "zones": map[string]any{"name": "z",
		"field": map[string]any{"kind": "cone", "grow": "outward", "angle": 45, "axis": []float64{125, 105}}}}))
	b.run("plain")
	const most = 800.0
	b.write("job.json", b.job(map[string]any{"machine": b.card(map[string]any{"counts_to": most}), "zones": map[string]any{"name": "z",
		"field": map[string]any{"kind": "cone", "grow": "outward", "angle": 45, "axis": []float64{125, 105}}}}))
	if o := b.run("out"); o.Status != 0 {
		t.Fatalf("exit %d: %s", o.Status, lastLine(o))
	}
	log, err := reading.ReadLog(b.path("out"))
	if err != nil {
		t.Fatal(err)
	}
	path, err := reading.ReadPath(b.path("out/corrected.gcode"), log.Machine)
	if err != nil {
		t.Fatal(err)
	}
	farthest := 0.0
	for _, s := range path.Steps {
		farthest = math.Max(farthest, math.Abs(s.Written.Turn[0]))
	}
	if farthest > most {
		t.Errorf("the swivel's word goes to %g, the card counts to %g", farthest, most)
	}
	for _, fault := range contract.Check(b.path("out")) {
		t.Error(fault)
	}
}
