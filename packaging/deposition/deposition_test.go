package deposition

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
)

var (
	dir    = flag.String("dir", "", "folder of a finished run, or of several")
	strict = flag.Bool("strict", false, "limits that not every planned motion keeps yet are faults")
	report = flag.String("report", "", "file for the figures of all runs")
)

// figures collects a line for each run, for the report.
type figures struct {
	mu    sync.Mutex
	lines []string
}

func (f *figures) add(name string, r *Run) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.lines = append(f.lines, fmt.Sprintf("%-40s %v; %s\n", name, &r.Result, strings.Join(r.Disagreements(), "; ")))
}

func (f *figures) write(t *testing.T) {
	if *report == "" {
		return
	}
	slices.Sort(f.lines)
	if err := os.WriteFile(*report, []byte(strings.Join(f.lines, "")), 0o644); err != nil {
		t.Error(err)
	}
}

// runsIn lists the run folders at a place: itself, or those in it.
func runsIn(place string) []string {
	logs, _ := filepath.Glob(filepath.Join(place, "corrected.gcode"))
	more, _ := filepath.Glob(filepath.Join(place, "*", "corrected.gcode"))
	var dirs []string
	for _, l := range append(logs, more...) {
		dirs = append(dirs, filepath.Dir(l))
	}
	return dirs
}

// judge takes a fault as one, or only tells of it where -strict isn't given.
func judge(t *testing.T, fault string) {
	t.Helper()
	if *strict {
		t.Error(fault)
	} else {
		t.Log("would be a fault: " + fault)
	}
}

func TestBeadsRestOnSomething(t *testing.T) {
	if *dir == "" {
		t.Skip("no -dir")
	}
	var all figures
	t.Cleanup(func() { all.write(t) })
	for _, run := range runsIn(*dir) {
		t.Run(filepath.Base(run), func(t *testing.T) {
			t.Parallel()
			r, err := Lay(run)
			if err != nil {
				t.Fatal(err)
			}
			for _, fault := range append(r.Faults(), r.Disagreements()...) {
				judge(t, fault)
			}
			all.add(filepath.Base(run), r)
			t.Logf("%v\nlongest hang %v\nlongest in the air %v\ndeepest bead %v\ndeepest travel %v", &r.Result, r.LongestHang, r.LongestAir, r.DeepestBead, r.DeepestMove)
		})
	}
}
