package headless

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"conewright/packaging/contract"
)

// flange writes an ASCII STL of a small body of revolution that overhangs.
func flange(t *testing.T, dir string) {
	t.Helper()
	profile := [][2]float64{{0, 0}, {3, 0}, {3, 2}, {5, 2}, {5, 3}, {0, 3}} // radius, height
	const n = 32
	at := func(p [2]float64, i int) [3]float64 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i%n) / n)
		return [3]float64{p[0] * cos, p[0] * sin, p[1]}
	}
	var s strings.Builder
	facet := func(corners ...[3]float64) {
		s.WriteString("facet normal 0 0 0\nouter loop\n")
		for _, v := range corners {
			fmt.Fprintf(&s, "vertex %.6f %.6f %.6f\n", v[0], v[1], v[2])
		}
		s.WriteString("endloop\nendfacet\n")
	}
	s.WriteString("solid flange\n")
	for i := range len(profile) - 1 {
		p, q := profile[i], profile[i+1]
		for k := range n {
			if p[0] > 0 {
				facet(at(p, k), at(p, k+1), at(q, k+1))
			}
			if q[0] > 0 {
				facet(at(p, k), at(q, k+1), at(q, k))
			}
		}
	}
	s.WriteString("endsolid flange\n")
	write(t, filepath.Join(dir, "flange.stl"), s.String())
}

func write(t *testing.T, name, text string) {
	t.Helper()
	if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

// goodJob has few and thick shells, for speed.
const goodJob = `{"conewright": 1, "part": {"file": "flange.stl"}, "shell": 0.35, "bead": 0.7,
	"zones": {"name": "all", "field": {"kind": "cone", "angle": 40}}}`

// bench makes a folder with the part and a job, and an output folder in which
// an earlier run left motion.
func bench(t *testing.T, jobText string) Args {
	t.Helper()
	dir := t.TempDir()
	flange(t, dir)
	a := Args{Job: filepath.Join(dir, "job.json"), Out: filepath.Join(dir, "out")}
	write(t, a.Job, jobText)
	if err := os.MkdirAll(filepath.Join(a.Out, "planar"), 0o755); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"corrected.gcode", "dry-run.gcode", "planar/all.gcode"} {
		write(t, filepath.Join(a.Out, name), "G1 X0 ; of an earlier run\n")
	}
	return a
}

func gcode(t *testing.T, dir string) []string {
	t.Helper()
	var found []string
	err := filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		if err == nil && strings.HasSuffix(path, ".gcode") {
			found = append(found, path)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return found
}

func TestInputThatCantBeUsedGivesOneLineAndLeavesTheFolderAsItWas(t *testing.T) {
	for _, c := range []struct{ name, job, says string }{
		{"empty", "", "empty"},
		{"no JSON", "{", "JSON"},
		{"newer version", `{"conewright": 2, "part": {"file": "flange.stl"}}`, "version"},
		{"missing part", strings.Replace(goodJob, "flange.stl", "nowhere.stl", 1), "nowhere.stl"},
		{"unknown unit", strings.Replace(goodJob, `"flange.stl"`, `"flange.stl", "unit": "ell"`, 1), "unit"},
		{"larger than the travel", strings.Replace(goodJob, `"flange.stl"`, `"flange.stl", "unit": "m"`, 1), "travel"},
		{"unknown kind", strings.Replace(goodJob, `"cone"`, `"spiral"`, 1), "kind"},
		{"angle 0", strings.Replace(goodJob, "40", "0", 1), "angle"},
		{"angle 90", strings.Replace(goodJob, "40", "90", 1), "angle"},
		{"angle -5", strings.Replace(goodJob, "40", "-5", 1), "angle"},
		{"lines thinner than layers", strings.Replace(goodJob, "40", "65", 1), "angle"},
		{"name that leaves the folder", strings.Replace(goodJob, `"all"`, `"../x"`, 1), "name"},
		{"cut that misses", `{"conewright": 1, "part": {"file": "flange.stl"}, "zones": {"cut": {"point": [0,0,90], "normal": [0,0,1]},
			"under": {"name": "a", "field": {"kind": "level"}}, "over": {"name": "b", "field": {"kind": "level"}}}}`, "cut"},
		{"normal that points down", `{"conewright": 1, "part": {"file": "flange.stl"}, "zones": {"cut": {"point": [0,0,1], "normal": [0,0,-1]},
			"under": {"name": "a", "field": {"kind": "level"}}, "over": {"name": "b", "field": {"kind": "level"}}}}`, "normal"},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := bench(t, c.job)
			var stdout, stderr bytes.Buffer
			if code := Main(context.Background(), a, &stdout, &stderr); code != Unusable {
				t.Errorf("status %d", code)
			}
			text := stderr.String()
			if strings.Count(text, "\n") != 1 || !strings.Contains(text, c.says) {
				t.Errorf("stderr: %q", text)
			}
			if left := gcode(t, a.Out); len(left) != 3 {
				t.Errorf("the folder isn't as it was: %q", left)
			}
			if _, err := os.Stat(filepath.Join(a.Out, "run.json")); err == nil {
				t.Error("a run log was written")
			}
		})
	}
}

func TestARunKeepsTheContractAndRepeatsItself(t *testing.T) {
	a := bench(t, goodJob)
	os.RemoveAll(a.Out)
	var stdout, stderr bytes.Buffer
	if code := Main(context.Background(), a, &stdout, &stderr); code != Done {
		t.Fatalf("status %d: %s %s", code, &stdout, &stderr)
	}
	for _, err := range contract.Check(a.Out) {
		t.Error(err)
	}
	for _, stage := range []string{"part:", "zones:", "warp:", "motion:", "unwarp:", "readback:", "files:"} {
		if strings.Count("\n"+stdout.String(), "\n"+stage) != 1 {
			t.Errorf("not one line for %s in %q", stage, stdout.String())
		}
	}
	again := a
	again.Out += "-again"
	if code := Main(context.Background(), again, &stdout, &stderr); code != Done {
		t.Fatal("the second run failed")
	}
	for _, name := range []string{"corrected.gcode", "dry-run.gcode", "drawing.svg", "warped/all.stl", "planar/all.gcode"} {
		one, err := os.ReadFile(filepath.Join(a.Out, name))
		if err != nil {
			t.Fatal(err)
		}
		two, err := os.ReadFile(filepath.Join(again.Out, name))
		if err != nil || !bytes.Equal(one, two) {
			t.Errorf("%s differs from run to run (%v)", name, err)
		}
	}
}

func TestAnInterruptedRunLeavesNothing(t *testing.T) {
	a := bench(t, goodJob)
	ctx, stop := context.WithCancel(context.Background())
	var stdout, stderr bytes.Buffer
	code := Main(ctx, a, stopAtFirst{&stdout, stop}, &stderr)
	if code != Interrupted {
		t.Errorf("status %d", code)
	}
	entries, err := os.ReadDir(a.Out)
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), ".") {
			t.Errorf("left: %s (%v)", e.Name(), err)
		}
	}
	if left := gcode(t, a.Out); len(left) != 3 {
		t.Errorf("the folder isn't as it was: %q", left)
	}
}

// stopAtFirst cancels when the first stage is done.
type stopAtFirst struct {
	*bytes.Buffer
	stop context.CancelFunc
}

func (s stopAtFirst) Write(p []byte) (int, error) {
	s.stop()
	return s.Buffer.Write(p)
}

func TestDrawingWritesOnlyTheDrawing(t *testing.T) {
	offBed := strings.Replace(goodJob, `"flange.stl"`, `"flange.stl", "seat": [1, 100]`, 1)
	for _, c := range [][2]string{{"sheet", goodJob}, {"motion", goodJob}, {"motion", offBed}} { // a finding forbids the last to print, not to draw
		what := c[0]
		a := bench(t, c[1])
		a.Draw = what
		a.Out = filepath.Join(t.TempDir(), "new")
		var stdout, stderr bytes.Buffer
		if code := Main(context.Background(), a, &stdout, &stderr); code != Done {
			t.Fatalf("%s: status %d: %s", what, code, &stderr)
		}
		entries, err := os.ReadDir(a.Out)
		if err != nil || len(entries) != 1 || entries[0].Name() != "drawing.svg" {
			t.Errorf("%s: %v %v", what, entries, err)
		}
		data, err := os.ReadFile(filepath.Join(a.Out, "drawing.svg"))
		if err != nil || !bytes.Contains(data, []byte("</svg>")) {
			t.Errorf("%s: no drawing (%v)", what, err)
		}
		if got := bytes.Contains(data, []byte("bead")); got != (what == "motion") {
			t.Errorf("%s: beads drawn: %v", what, got)
		}
	}
}

func TestSuggestingWritesJobsThatCanBeRun(t *testing.T) {
	if testing.Short() {
		t.Skip("searches for plans")
	}
	a := bench(t, goodJob)
	a.Suggest = true
	var stdout, stderr bytes.Buffer
	if code := Main(context.Background(), a, &stdout, &stderr); code != Done {
		t.Fatalf("status %d: %s", code, &stderr)
	}
	data, err := os.ReadFile(filepath.Join(a.Out, "suggest", "suggest.json"))
	if err != nil {
		t.Fatal(err)
	}
	var list []struct {
		File string  `json:"file"`
		Why  string  `json:"why"`
		Area float64 `json:"overhang_area_mm2"`
	}
	if err := json.Unmarshal(data, &list); err != nil || len(list) == 0 || list[0].Why == "" {
		t.Fatalf("%s (%v)", data, err)
	}
	run := Args{Job: filepath.Join(a.Out, "suggest", list[0].File), Out: filepath.Join(a.Out, "run")}
	if code := Main(context.Background(), run, &stdout, &stderr); code != Done && code != Stopped {
		t.Errorf("the first plan can't be run: status %d: %s", code, &stderr)
	}
}

// What the layout promises: computing knows no window and no drawing, drawing
// no window, and a run without a window doesn't load the window's library.
func TestLowerPackagesDontKnowHigherOnes(t *testing.T) {
	for _, c := range []struct{ of, never string }{
		{"conewright/geom/...", "fyne.io/"}, {"conewright/geom/...", "conewright/render"}, {"conewright/geom/...", "conewright/app"},
		{"conewright/render/...", "fyne.io/"}, {"conewright/render/...", "conewright/app"},
		{"conewright/app/headless", "fyne.io/"},
	} {
		out, err := exec.Command("go", "list", "-deps", c.of).Output()
		if err != nil {
			t.Fatal(err)
		}
		for _, dep := range strings.Fields(string(out)) {
			if strings.HasPrefix(dep, c.never) {
				t.Errorf("%s depends on %s", c.of, dep)
			}
		}
	}
}
