package job

import (
	"context"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// demoJobs are the jobs that the program carries.
func demoJobs(t *testing.T) []string {
	t.Helper()
	names, _ := filepath.Glob("../../assets/jobs/*.json")
	if len(names) == 0 {
		t.Skip("no demo jobs here")
	}
	return names
}

func TestSuggestedJobsLoadAndComeToTheirFigures(t *testing.T) {
	for i, name := range demoJobs(t) {
		t.Run(filepath.Base(name), func(t *testing.T) {
			s, err := Load(name)
			if err != nil {
				t.Fatal(err)
			}
			out := t.TempDir()
			estimates := i == 0
			if _, err := suggestInto(context.Background(), s, out, estimates, nil); err != nil {
				t.Fatal(err)
			}
			data, err := os.ReadFile(filepath.Join(out, "suggest", "suggest.json"))
			if err != nil {
				t.Fatal(err)
			}
			var list []SuggestLog
			if err := json.Unmarshal(data, &list); err != nil {
				t.Fatal(err)
			}
			if len(list) == 0 || len(list) > 5 {
				t.Fatalf("%d plans", len(list))
			}
			for _, e := range list {
				if estimates && (e.Seconds == nil || *e.Seconds < 60 || e.Filament == nil || *e.Filament < 100 || e.SupportVolume == nil || *e.SupportVolume != 0) {
					t.Errorf("%s: the motion isn't told, or support is that nobody asked for: %v %v %v", e.File, e.Seconds, e.Filament, e.SupportVolume)
				}
				checkSuggested(t, s, filepath.Join(out, "suggest", e.File), e)
			}
		})
	}
}

// checkSuggested loads a suggested job and judges it as a run does.
func checkSuggested(t *testing.T, from *Setup, file string, e SuggestLog) {
	t.Helper()
	s, err := Load(file)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(s.PartPath()); err != nil {
		t.Fatalf("%s: the part isn't where the job says: %v", file, err)
	}
	for _, d := range []string{cmp.Diff(from.Machine, s.Machine), cmp.Diff(from.Planner, s.Planner), cmp.Diff(from.Material, s.Material)} {
		if d != "" {
			t.Errorf("%s changes more than zones: %s", file, d)
		}
	}
	ctx := context.Background()
	m, err := ReadModel(ctx, s)
	if err != nil {
		t.Fatal(err)
	}
	regions, err := Divide(ctx, s, m)
	if err != nil {
		t.Fatal(err)
	}
	area, level, starts := 0.0, 0.0, 0
	for _, g := range regions {
		if err := g.Warp(ctx, s.Tolerance); err != nil {
			t.Fatal(err)
		}
		j, err := Judge(context.Background(), g, s.Overhang, JudgeLevel(g, s.Overhang))
		if err != nil {
			t.Fatal(err)
		}
		area, level, starts = area+j.Overhang.Area, level+j.Level, starts+len(j.Starts)
	}
	if math.Abs(area-e.OverhangArea) > 0.01 || math.Abs(level-e.LevelArea) > 0.01 || starts != e.MidairStarts || len(regions) != e.Zones {
		t.Errorf("%s says %+v; judged: %.3f of %.3f mm2, %d starts, %d zones", filepath.Base(file), e, area, level, starts, len(regions))
	}
}

func TestSuggestNamesThePartThroughLinkedFolders(t *testing.T) {
	name := demoJobs(t)[0]
	s, err := Load(name)
	if err != nil {
		t.Fatal(err)
	}
	real, link := t.TempDir(), filepath.Join(t.TempDir(), "link")
	if err := os.Symlink(real, link); err != nil {
		t.Skip("no links here")
	}
	if _, err := suggestInto(context.Background(), s, filepath.Join(link, "new"), false, nil); err != nil {
		t.Fatal(err)
	}
	got, err := Load(filepath.Join(link, "new", "suggest", "1.json"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := ReadModel(context.Background(), got); err != nil {
		t.Fatal(err)
	}
}

func TestSuggestLeavesNothingWhenInterrupted(t *testing.T) {
	s, err := Load(demoJobs(t)[0])
	if err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(t.TempDir(), "out")
	ctx, cancel := context.WithCancel(context.Background())
	_, err = Suggest(ctx, s, out, func(float64) { cancel() })
	if err != context.Canceled {
		t.Fatalf("error %v", err)
	}
	if _, err := os.Stat(out); !os.IsNotExist(err) {
		t.Errorf("%s was made", out)
	}
}

func TestSuggestRemovesPlansOfALongerList(t *testing.T) {
	s, err := Load(demoJobs(t)[0])
	if err != nil {
		t.Fatal(err)
	}
	out := t.TempDir()
	stale := filepath.Join(out, "suggest", "5.json")
	if err := os.MkdirAll(filepath.Dir(stale), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(stale, []byte("{}"), 0o666); err != nil {
		t.Fatal(err)
	}
	found, err := suggestInto(context.Background(), s, out, false, nil)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(stale); len(found) < 5 && !os.IsNotExist(err) {
		t.Error("a plan of an earlier list stayed")
	}
}
