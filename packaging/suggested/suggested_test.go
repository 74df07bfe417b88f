// Package suggested asks the built program for plans of parts that nobody tuned
// to, runs each first plan and lays its beads.
package suggested

import (
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"conewright/packaging/deposition"
	"conewright/packaging/madeparts"
	"conewright/packaging/program"
)

var (
	table   = flag.String("table", "", "file for a line about each part; without it nothing is asked")
	support = flag.String("support", "none", "none, starts or all")
)

// plan is an entry of suggest.json.
type plan struct {
	File     string  `json:"file"`
	Why      string  `json:"why"`
	Overhang float64 `json:"overhang_area_mm2"`
	Level    float64 `json:"level_overhang_area_mm2"`
	Starts   int     `json:"midair_starts"`
	Zones    int     `json:"zones"`
	Support  float64 `json:"support_volume_mm3"`
}

func TestFirstPlansPrint(t *testing.T) {
	if *table == "" {
		t.Skip("no -table")
	}
	var mu sync.Mutex
	var lines []string
	good := 0
	t.Run("parts", func(t *testing.T) {
		for _, p := range madeparts.HeldOut() {
			t.Run(p.Name, func(t *testing.T) {
				t.Parallel()
				line, ok := asked(t, p)
				mu.Lock()
				defer mu.Unlock()
				lines = append(lines, fmt.Sprintf("%-10s %s", p.Name, line))
				if ok {
					good++
				}
				if err := write(lines, good); err != nil {
					t.Fatal(err)
				}
			})
		}
	})
}

func write(lines []string, good int) error {
	sorted := slices.Sorted(slices.Values(lines))
	text := strings.Join(sorted, "\n") + fmt.Sprintf("\n%d of %d first plans: %s, exit 0\n", good, len(sorted), wanted())
	return os.WriteFile(*table, []byte(text), 0o644)
}

// wanted says what counts as good.
func wanted() string {
	if *support == "all" {
		return "no unheld start, at most 1 % of level layers' overhang unheld"
	}
	if *support == "starts" {
		return "no unheld start"
	}
	return "no mid-air start, at most 5 % of level layers' overhang"
}

// heldBy tells from a run's log what support holds and takes; ok where it holds what it
// should.
func heldBy(t *testing.T, dir string, m madeparts.Mesh, level float64) (line string, ok bool) {
	data, err := os.ReadFile(filepath.Join(dir, "run.json"))
	var log struct {
		Zones []struct {
			Area   float64 `json:"unheld_area_mm2"`
			Starts int     `json:"unheld_starts"`
			Volume float64 `json:"support_volume_mm3"`
		} `json:"zones"`
	}
	if err == nil {
		err = json.Unmarshal(data, &log)
	}
	if err != nil {
		t.Fatal(err)
	}
	area, starts, volume := 0.0, 0, 0.0
	for _, z := range log.Zones {
		area, starts, volume = area+z.Area, starts+z.Starts, volume+z.Volume
	}
	columns := levelColumns(m)
	line = fmt.Sprintf("unheld %.2f mm2, %d starts; support %.0f of %.0f mm3 (%.1f %%)", area, starts, volume, columns, 100*volume/max(columns, 1))
	return line, starts == 0 && (*support != "all" || area <= 0.01*level)
}

// asked asks for plans of a part, runs the first and lays its beads; ok where it
// prints by its own figures.
func asked(t *testing.T, p madeparts.Solid) (line string, ok bool) {
	dir := t.TempDir()
	if err := p.Mesh.WriteSTL(filepath.Join(dir, "part.stl")); err != nil {
		t.Fatal(err)
	}
	job := filepath.Join(dir, "job.json")
	text := `{"conewright": 1, "part": {"file": "part.stl"}, "machine": "swivel-45",`
	if *support != "none" {
		text += fmt.Sprintf(` "support": %q,`, *support)
	}
	text += ` "zones": {"name": "z", "field": {"kind": "level"}}}`
	if err := os.WriteFile(job, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(dir, "out")
	o := program.Call(t, "-job", job, "-out", out, "-suggest")
	if o.Status != 0 {
		return fmt.Sprintf("%d facets; no plan: exit %d, %.200s", len(p.Mesh), o.Status, strings.TrimSpace(o.Stderr)), false
	}
	data, err := os.ReadFile(filepath.Join(out, "suggest", "suggest.json"))
	var plans []plan
	if err == nil {
		err = json.Unmarshal(data, &plans)
	}
	if err != nil || len(plans) == 0 {
		return fmt.Sprintf("no plans: %v", err), false
	}
	first := plans[0]
	file := first.File
	if !filepath.IsAbs(file) {
		file = filepath.Join(out, "suggest", filepath.Base(file))
	}
	line = fmt.Sprintf("%d facets, %.1f s; overhang %.1f of %.1f mm2, %d starts, %d zones", len(p.Mesh), o.Took.Seconds(), first.Overhang, first.Level, first.Starts, first.Zones)
	ran := program.Call(t, "-job", file, "-out", filepath.Join(dir, "run"))
	line += fmt.Sprintf("; exit %d", ran.Status)
	if ran.Status != 0 {
		text := strings.TrimSpace(ran.Stderr)
		return line + ": " + text[strings.LastIndexByte(text, '\n')+1:], false
	}
	r, err := deposition.Lay(filepath.Join(dir, "run"))
	if err != nil {
		return line + ": " + err.Error(), false
	}
	if *support != "none" {
		held, ok := heldBy(t, filepath.Join(dir, "run"), p.Mesh, first.Level)
		line += "; " + held
		if !ok {
			return line, false
		}
	}
	line += fmt.Sprintf("; hanging %.0f mm, in the air %.0f, dug %.1f %%, travels dug %.0f", r.Hanging, r.Air, 100*r.DugShare(), r.TravelDug)
	return line, *support != "none" || first.Starts == 0 && first.Overhang <= 0.05*first.Level
}
