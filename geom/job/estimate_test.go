package job

import (
	"context"
	"errors"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"
)

// TestAPlanIsEstimatedAsItsRunTurnsOut holds each demo job's estimate against what
// its run's log says, within 10 %.
func TestAPlanIsEstimatedAsItsRunTurnsOut(t *testing.T) {
	jobs, err := filepath.Glob("../../assets/jobs/*.json")
	if err != nil || len(jobs) < 8 {
		t.Fatalf("%d demo jobs: %v", len(jobs), err)
	}
	t.Setenv("TMPDIR", t.TempDir()) // nothing may stay behind there
	for i, path := range jobs {
		if testing.Short() && i%8 != 4 || raced && filepath.Base(path) != "brazier-stem-and-bowl.json" { // the quickest
			continue
		}
		s, err := Load(path)
		if err != nil {
			t.Fatal(err)
		}
		ctx := context.Background()
		r := newRun(s, Options{Out: t.TempDir()})
		for _, step := range []func(context.Context) error{r.readPart, r.divide, r.warp, r.support, r.motion, r.correct, r.proveMotion} {
			if err := step(ctx); err != nil {
				t.Fatalf("%s: %v", path, err)
			}
		}
		began := time.Now()
		got, err := EstimatePlan(ctx, s, r.result.Model, r.result.Regions)
		if err != nil {
			t.Fatalf("%s: %v", path, err)
		}
		took := time.Since(began)
		want := &r.result.Log.Motion
		for _, c := range []struct {
			what      string
			got, want float64
		}{{"seconds", got.Seconds, want.Seconds}, {"mm of filament", got.Filament, want.Filament}, {"g", got.Mass, want.Mass}} {
			if !(math.Abs(c.got-c.want) <= 0.1*c.want) {
				t.Errorf("%s: estimated %.1f %s, the run says %.1f", filepath.Base(path), c.got, c.what, c.want)
			}
		}
		t.Logf("%s: %.0f s of %.0f, %.0f mm of %.0f, found in %v", filepath.Base(path), got.Seconds, want.Seconds, got.Filament, want.Filament, took.Round(time.Millisecond))
	}
	if left, _ := os.ReadDir(os.TempDir()); len(left) > 0 {
		for _, f := range left {
			if matched, _ := filepath.Match("conewright-estimate-*", f.Name()); matched {
				t.Errorf("%s stays behind", f.Name())
			}
		}
	}
}

func TestAnEstimateThatIsGivenUpEnds(t *testing.T) {
	s, err := Load("../../assets/jobs/bollard.json")
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	m, err := ReadModel(ctx, s)
	if err != nil {
		t.Fatal(err)
	}
	regions, err := warped(ctx, s, m)
	if err != nil {
		t.Fatal(err)
	}
	time.AfterFunc(50*time.Millisecond, stop)
	if _, err := EstimatePlan(ctx, s, m, regions); !errors.Is(err, context.Canceled) {
		t.Errorf("%v", err)
	}
}
