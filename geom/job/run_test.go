package job

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"conewright/geom/form"
	"conewright/geom/mesh"

	"gonum.org/v1/gonum/spatial/r2"
)

// mushroom is a stem of radius 5, 8 high, under a disc of radius 9, 4 thick.
var mushroom = []r2.Vec{{X: 0, Y: 0}, {X: 5, Y: 0}, {X: 5, Y: 8}, {X: 9, Y: 8}, {X: 9, Y: 12}, {X: 0, Y: 12}}

// newJob writes a part and a job with the given zones into a new folder.
func newJob(t testing.TB, machineName, zones string) *Setup {
	t.Helper()
	dir := t.TempDir()
	f, err := os.Create(filepath.Join(dir, "part.stl"))
	if err != nil {
		t.Fatal(err)
	}
	if err := mesh.WriteSTL(f, form.Turned(mushroom, 64)); err != nil {
		t.Fatal(err)
	}
	f.Close()
	s, err := Parse([]byte(`{"conewright":1,"part":{"file":"part.stl"},"machine":"`+machineName+`","zones":`+zones+`}`), dir)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

const (
	outward45 = `{"name":"all","field":{"kind":"cone","grow":"outward","angle":45}}`
	stemHead  = `{"cut":{"point":[125,105,8],"normal":[0,0,1]},"under":{"name":"stem","field":{"kind":"level"}},"over":{"name":"head","field":{"kind":"cone","angle":45}}}`
)

func runJob(t testing.TB, s *Setup) (*Result, string) {
	t.Helper()
	out := filepath.Join(t.TempDir(), "out")
	var lines []string
	r, err := Run(context.Background(), s, Options{Out: out, Accept: true, Made: time.Unix(0, 0).UTC(), Summary: func(l string) { lines = append(lines, l) }})
	if err != nil {
		t.Fatalf("%v after %q", err, lines)
	}
	return r, out
}

func TestRunHoldsItsPromises(t *testing.T) {
	for _, c := range []struct{ name, machine, zones string }{
		{"outward", "swivel-45", outward45},
		{"wired", "swivel-45-wired", outward45},
		{"two zones", "swivel-45", stemHead},
		{"shallow", "straight", `{"name":"all","field":{"kind":"cone","angle":15,"round":1}}`},
		{"ramp", "swivel-45", `{"name":"all","field":{"kind":"ramp","angle":30,"toward":90}}`},
		{"inward", "swivel-45", `{"name":"all","field":{"kind":"cone","grow":"inward","angle":45,"axis":[140,105]}}`},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := newJob(t, c.machine, c.zones)
			r, out := runJob(t, s)
			log := r.Log
			if log.Motion.Deviation > s.Tolerance {
				t.Errorf("deviation %g", log.Motion.Deviation)
			}
			if log.Motion.LowestZ <= 0 {
				t.Errorf("lowest z %g", log.Motion.LowestZ)
			}
			for i, z := range log.Zones {
				if d := math.Abs(z.WarpedVolume - z.Volume); d > 1e-3*z.Volume {
					t.Errorf("zone %s: warping changes the volume by %g", z.Name, d)
				}
				if have := r.Log.Zones[i].ContactFilament; z.Shells == 0 || have <= 0 {
					t.Errorf("zone %s: %d shells, %g mm", z.Name, z.Shells, have)
				}
			}
			for _, f := range log.Findings {
				if f.Rank == Stop && f.Code != "collision" {
					t.Errorf("%s: %s", f.Code, f.Text)
				}
			}
			for _, name := range []string{"corrected.gcode", "dry-run.gcode", "run.json", "run.html", "warped/" + log.Zones[0].Name + ".stl", "planar/" + log.Zones[0].Name + ".gcode"} {
				if info, err := os.Stat(filepath.Join(out, name)); err != nil || info.Size() == 0 {
					t.Errorf("%s: %v", name, err)
				}
			}
			left, _ := filepath.Glob(filepath.Join(out, ".conewright-*"))
			if len(left) > 0 {
				t.Errorf("left behind: %v", left)
			}
		})
	}
}

// CONTRACT: facets that only lie in a cut's plane are no base. The disc's level
// underside is unsupported in level layers, and no base for the bed rule.
func TestUndersideInTheCutsPlaneIsNoBase(t *testing.T) {
	s := newJob(t, "swivel-45", strings.Replace(stemHead, `"kind":"cone","angle":45`, `"kind":"level"`, 1))
	r, _ := runJob(t, s)
	want := math.Pi * (81 - 25)
	if got := *r.Log.Zones[1].Overhang; math.Abs(got-want) > 0.01*want {
		t.Errorf("unsupported %g mm2, want the underside's %g", got, want)
	}
}

func TestFullFillKeepsTheVolume(t *testing.T) {
	s := newJob(t, "swivel-45", outward45)
	s.Planner.Fill = 1
	r, _ := runJob(t, s)
	planar := r.Log.Zones[0].PlanarFilament * s.Machine.Card.FilamentArea()
	if d := planar/r.Log.Part.Volume - 1; math.Abs(d) > 0.04 {
		t.Errorf("beads hold %g mm3, the part %g: %.1f %% apart", planar, r.Log.Part.Volume, 100*d)
	}
}

func TestTwoRunsWriteTheSameBytes(t *testing.T) {
	s := newJob(t, "swivel-45", stemHead)
	_, a := runJob(t, s)
	_, b := runJob(t, s)
	for _, name := range []string{"corrected.gcode", "dry-run.gcode", "warped/head.stl", "planar/head.gcode"} {
		x, _ := os.ReadFile(filepath.Join(a, name))
		y, _ := os.ReadFile(filepath.Join(b, name))
		if len(x) == 0 || !bytes.Equal(x, y) {
			t.Errorf("%s differs", name)
		}
	}
}

func TestRunLogIsReadable(t *testing.T) {
	_, out := runJob(t, newJob(t, "swivel-45", stemHead))
	data, err := os.ReadFile(filepath.Join(out, "run.json"))
	if err != nil {
		t.Fatal(err)
	}
	var log map[string]any
	if err := json.Unmarshal(data, &log); err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"conewright_run", "made", "version", "job", "machine", "inputs", "outputs", "part", "zones", "motion", "findings", "stages"} {
		if _, ok := log[key]; !ok {
			t.Errorf("run.json lacks %q", key)
		}
	}
}

func TestRefusedRunsWriteNothing(t *testing.T) {
	good := newJob(t, "swivel-45", outward45)
	withPart := func(data string) func(*Setup) {
		return func(s *Setup) { os.WriteFile(s.PartPath(), []byte(data), 0o666) }
	}
	for _, c := range []struct {
		name string
		mar  func(s *Setup)
		want string
	}{
		{"no part", func(s *Setup) { s.Part.File = "nowhere.stl" }, "nowhere.stl"},
		{"empty part", withPart(""), "part.stl"},
		{"truncated part", withPart(strings.Repeat("x", 84) + "12345"), "part.stl"},
		{"too large", func(s *Setup) { s.Part.Unit = "in" }, "travel"},
		{"cut misses", func(s *Setup) {
			s.Zones = &Zone{Cut: &Cut{Point: [3]float64{0, 0, 50}, Normal: [3]float64{0, 0, 1}}, Under: s.Zones, Over: &Zone{Name: "b", Field: &Field{Kind: KindLevel}}}
		}, "cut"},
	} {
		s := newJob(t, "swivel-45", outward45)
		c.mar(s)
		out := filepath.Join(t.TempDir(), "a", "b")
		_, err := Run(context.Background(), s, Options{Out: out})
		var in *InputError
		if !errors.As(err, &in) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v should name %q", c.name, err, c.want)
		}
		if _, err := os.Stat(filepath.Dir(out)); err == nil {
			t.Errorf("%s: the folder was made", c.name)
		}
	}
	file := filepath.Join(t.TempDir(), "file")
	os.WriteFile(file, nil, 0o666)
	if _, err := Run(context.Background(), good, Options{Out: file}); err == nil || !strings.Contains(err.Error(), "can't write") {
		t.Errorf("a file for a folder: %v", err)
	}
}

func TestCancelLeavesNothing(t *testing.T) {
	s := newJob(t, "swivel-45", outward45)
	out := filepath.Join(t.TempDir(), "out")
	ctx, cancel := context.WithCancel(context.Background())
	_, err := Run(ctx, s, Options{Out: out, Progress: func(stage string, _ float64) {
		if stage == "unwarp" {
			cancel()
		}
	}})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("error %v", err)
	}
	if _, err := os.Stat(out); err == nil {
		t.Error("the folder is still there")
	}
}

// A part over the travel's edge, or too high, is no unusable input: its motion
// leaves the travel, which -accept may override.
func TestPartBeyondTheTravelIsFound(t *testing.T) {
	for name, change := range map[string]func(s *Setup){
		"seat":   func(s *Setup) { s.Part.Seat = &[2]float64{1, 100} },
		"height": func(s *Setup) { low := *s.Machine.Card; low.Travel.Z[1] = 7; s.Machine.Card = &low },
	} {
		s := newJob(t, "swivel-45", outward45)
		change(s)
		for _, accept := range []bool{false, true} {
			out := t.TempDir()
			r, err := Run(context.Background(), s, Options{Out: out, Accept: accept})
			if accept && err != nil || !accept && !errors.Is(err, ErrStopped) {
				t.Fatalf("%s, accept %v: %v", name, accept, err)
			}
			var codes []string
			for _, f := range r.Log.Findings {
				if f.Rank != Note {
					codes = append(codes, f.Rank+" "+f.Code)
				}
			}
			if got := strings.Join(codes, ", "); !strings.Contains(got, "warn reach") || !strings.Contains(got, "stop travel-limit") {
				t.Errorf("%s: findings %s", name, got)
			}
			if _, err := os.Stat(filepath.Join(out, CorrectedName)); (err == nil) != accept {
				t.Errorf("%s, accept %v: corrected motion: %v", name, accept, err)
			}
		}
	}
}

// A run uses the part that was shown, and says so where the file on disk is
// another by now.
func TestAPartThatChangedOnDiskStopsTheRun(t *testing.T) {
	s := newJob(t, "straight", `{"name":"z","field":{"kind":"level"}}`)
	shown, err := ReadModel(context.Background(), s)
	if err != nil {
		t.Fatal(err)
	}
	for _, change := range []bool{false, true} {
		if change {
			f, err := os.OpenFile(s.PartPath(), os.O_APPEND|os.O_WRONLY, 0)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := f.WriteString("\n"); err != nil {
				t.Fatal(err)
			}
			f.Close()
		}
		out := t.TempDir()
		r, err := Run(context.Background(), s, Options{Out: out, Model: shown})
		if change != errors.Is(err, ErrStopped) || change != strings.Contains(stopCodes(r), "changed") {
			t.Errorf("changed %t: %v, stops %s", change, err, stopCodes(r))
		}
		if r.Log.Inputs[0] != shown.Source {
			t.Errorf("the log names %+v, read was %+v", r.Log.Inputs[0], shown.Source)
		}
		if _, err := os.Stat(filepath.Join(out, CorrectedName)); (err == nil) == change {
			t.Errorf("changed %t: corrected motion: %v", change, err)
		}
	}
}
