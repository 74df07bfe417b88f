package job

import (
	"context"
	"errors"
	"math"
	"path/filepath"
	"strings"
	"testing"
)

// Jobs of several zones run to the end
// without a finding that stops or warns, and their motion files keep every
// promise.
func TestDemoJobsOfSeveralZones(t *testing.T) {
	for i, name := range []string{"davit-cone-and-ramp", "beacon-two-axes", "brazier-stem-and-bowl", "standpipe-out-and-in", "gantry-level-cut"} {
		if (testing.Short() || raced) && i > 0 {
			break
		}
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := demoJob(t, name)
			out := filepath.Join(t.TempDir(), "out")
			r, err := Run(context.Background(), s, Options{Out: out})
			if err != nil {
				t.Fatalf("%v: %v", err, stops(r))
			}
			for _, f := range r.Log.Findings {
				// What beads rest on is the planner's matter: packaging/deposition judges it.
				if f.Rank != Note && f.Code != "hanging" && f.Code != "dig" {
					t.Errorf("%s: %s", f.Code, f.Text)
				}
			}
			checkLog(t, r)
			checkFile(t, s, r, out)
		})
	}
}

func stops(r *Result) (texts []string) {
	if r == nil {
		return nil
	}
	for _, f := range r.Log.Findings {
		if f.Rank == Stop {
			texts = append(texts, f.Code+": "+f.Text)
		}
	}
	return texts
}

func checkLog(t *testing.T, r *Result) {
	t.Helper()
	log := r.Log
	if log.Motion.Deviation > r.Setup.Tolerance {
		t.Errorf("deviation %g", log.Motion.Deviation)
	}
	volume := 0.0
	for _, z := range log.Zones {
		volume += z.Volume
		if z.ContactFilament > z.PlanarFilament || z.ContactFilament < 0.9*z.PlanarFilament {
			t.Errorf("zone %s: %g mm of filament planar, %g on the base", z.Name, z.PlanarFilament, z.ContactFilament)
		}
		if *z.MidairStarts > 0 {
			t.Errorf("zone %s: %d shells begin in the air", z.Name, *z.MidairStarts)
		}
	}
	if math.Abs(volume-log.Part.Volume) > 1e-6*volume {
		t.Errorf("the zones hold %g mm3, the part %g", volume, log.Part.Volume)
	}
}

func checkFile(t *testing.T, s *Setup, r *Result, out string) {
	t.Helper()
	m := readMotion(t, filepath.Join(out, CorrectedName), s.Machine.Card)
	m.checkFrame(t, s)
	m.checkFilament(t, r.Log)
	m.tips(s.Machine.Card)
	m.checkLifts(t, s.Machine.Card)
	m.checkSwivel(t, s)
	m.checkTravels(t)
	if got := len(m.moves); math.Abs(float64(got-r.Log.Motion.Moves)) > 0 {
		t.Errorf("%d moves in the file, %d in the log", got, r.Log.Motion.Moves)
	}
}

// Where the head can't pass, the run says
// so. The upright cut has the left post stand where the head must lean while it
// prints the right one; a level cut under the beam cures it (the job
// gantry-level-cut, which TestDemoJobsOfSeveralZones runs to the end).
func TestHeadThatCannotPassIsReported(t *testing.T) {
	if testing.Short() || raced {
		t.Skip("a whole run")
	}
	out := filepath.Join(t.TempDir(), "out")
	r, err := Run(context.Background(), demoJob(t, "gantry-upright-cut"), Options{Out: out})
	if !errors.Is(err, ErrStopped) {
		t.Fatalf("error %v", err)
	}
	found, buried := 0, 0
	for _, f := range r.Log.Findings {
		if f.Code == "collision" && f.Rank == Stop {
			found++
			if strings.Contains(f.Text, "meets zone left") {
				buried++
			}
			if f.Zone != "right" || f.Line == 0 || !strings.Contains(f.Text, "meets") {
				t.Errorf("zone %q, line %d: %s", f.Zone, f.Line, f.Text)
			}
		}
	}
	if found == 0 || buried != 1 {
		t.Errorf("%d collisions, %d say which zone is in the way", found, buried)
	}
	for _, name := range r.Written {
		if name == CorrectedName {
			t.Error("the motion was written all the same")
		}
	}
}
