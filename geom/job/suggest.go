package job

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"

	"conewright/geom/inputerror"
	"conewright/geom/machine"
	"conewright/geom/message"
	"conewright/geom/runfolder"
	"conewright/geom/suggest"
	"conewright/geom/zone"

	"github.com/natefinch/atomic"
)

// Names of what suggesting writes into a folder: 1.json, 2.json, … and the
// list of them.
const (
	SuggestDir  = "suggest"
	SuggestName = "suggest.json"
)

// Suggestion is a suggested plan as a whole job.
type Suggestion struct {
	Setup *Setup // as the user's, with other zones
	Plan  suggest.Plan
	// Estimate is what its motion comes to; nil: not asked for, or it can't be planned.
	Estimate *Estimate
	// Trial is what its own run says; nil: not tried, or it can't be run.
	Trial *Trial
}

// SuggestLog is an entry of suggest.json.
type SuggestLog struct {
	File         string  `json:"file"` // in the folder of suggest.json
	Why          string  `json:"why"`
	OverhangArea float64 `json:"overhang_area_mm2"`
	LevelArea    float64 `json:"level_overhang_area_mm2"`
	MidairStarts int     `json:"midair_starts"`
	Zones        int     `json:"zones"`
	Shells       int     `json:"shells"`
	// What the plan's motion comes to; left out where it can't be planned.
	Seconds       *float64   `json:"seconds,omitempty"`
	Filament      *float64   `json:"filament_mm,omitempty"`
	SupportVolume *float64   `json:"support_volume_mm3,omitempty"` // of the beads of support
	WarpedHeight  float64    `json:"warped_height"`                // of the tallest zone, mm
	OffSquare     float64    `json:"off_square"`                   // greatest, degrees
	Head          []string   `json:"head,omitempty"`               // hints about the head
	Turn          [3]float64 `json:"turn"`                         // of the part, as in the job
	// Left is what the plan leaves in the air; left out for a plan that wasn\'t run.
	Left []Left `json:"left,omitempty"`
}

// Suggestions returns plans for the setup's part, best first, each as a setup
// of its own; s isn't changed. A plan for the part laid on another side, where one is
// better, comes after the best of the part as it stands. Errors are *InputError, or
// the context's.
func Suggestions(ctx context.Context, s *Setup, m *Model, progress func(done float64)) ([]Suggestion, error) {
	if len(s.Parts) > 0 {
		return nil, wrong("parts", "make a job of each part and ask for its plans", "plans are suggested for one part at a time")
	}
	own, err := planned(ctx, s, m, progress)
	if err != nil {
		return nil, err
	}
	other, err := otherStance(ctx, s, m, &own[0])
	if err != nil || other == nil {
		return own, err
	}
	out := slices.Insert(own, 1, *other)
	return out[:min(len(out), suggest.MaxPlans)], nil
}

// planned returns the plans for the part as it stands.
func planned(ctx context.Context, s *Setup, m *Model, progress func(done float64)) ([]Suggestion, error) {
	plans, err := suggest.Plans(ctx, m.Mesh, suggest.Options{
		Card: s.Machine.Card, Shell: s.Shell, Bead: s.Bead, OverhangDeg: s.Overhang, Tolerance: s.Tolerance,
	}, progress)
	if err != nil {
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		return nil, inputerror.Caused(message.Name(s.Part.File), "mend the part, or set the zones by hand", "%s", err)
	}
	var out []Suggestion
	for _, p := range plans {
		c := s.Clone()
		c.Zones = zonesOf(p.Zones)
		if err := c.checkZones(); err != nil {
			return nil, err
		}
		if err := c.Check(); err != nil {
			return nil, err
		}
		out = append(out, Suggestion{Setup: c, Plan: p})
	}
	return out, nil
}

// zonesOf writes a suggested tree of zones as a job does.
func zonesOf(n *suggest.Node) *Zone {
	if n.Cut == nil {
		return &Zone{Name: n.Name, Field: fieldOf(&n.Field)}
	}
	return &Zone{Cut: cutOf(n.Cut), Under: zonesOf(n.Under), Over: zonesOf(n.Over)}
}

func cutOf(p *zone.Plane) *Cut {
	return &Cut{Point: point(p.Point), Normal: point(p.Normal)}
}

func fieldOf(f *suggest.Field) *Field {
	grow := GrowOutward
	if f.Inward {
		grow = GrowInward
	}
	switch f.Kind {
	case suggest.Ridge:
		line := make([][2]float64, len(f.Line))
		for i, p := range f.Line {
			line[i] = [2]float64{p.X, p.Y}
		}
		return &Field{Kind: KindRidge, Grow: grow, Angle: f.AngleDeg, Line: line}
	case suggest.Cone:
		return &Field{Kind: KindCone, Grow: grow, Angle: f.AngleDeg, Axis: &[2]float64{f.Axis.X, f.Axis.Y}}
	case suggest.Ramp:
		return &Field{Kind: KindRamp, Angle: f.AngleDeg, Toward: f.TowardDeg}
	}
	return &Field{Kind: KindLevel}
}

// Suggest reads the setup's part and writes suggested plans into out/suggest,
// all files or none, with what their motion comes to. progress may be nil. Errors
// are *InputError, or the context's.
func Suggest(ctx context.Context, s *Setup, out string, progress func(done float64)) ([]Suggestion, error) {
	return suggestInto(ctx, s, out, true, progress)
}

// suggestInto is Suggest; without estimates, and so without trial runs, it is many
// times as quick.
func suggestInto(ctx context.Context, s *Setup, out string, estimates bool, progress func(done float64)) ([]Suggestion, error) {
	m, err := ReadModel(ctx, s)
	if err != nil {
		return nil, err
	}
	found, err := Suggestions(ctx, s, m, progress)
	if err != nil {
		return nil, err
	}
	if estimates {
		if err := tryOut(ctx, s, m, found); err != nil {
			return nil, err
		}
	}
	dir := filepath.Join(out, SuggestDir)
	files, names, err := suggestFiles(found, dir)
	if err != nil {
		return nil, err
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	return found, writeSuggested(dir, files, names)
}

// estimate plans the suggestion's motion; m is the part as it stands in s. A plan
// whose motion can't be planned has no estimate: its run tells why. Errors are the
// context's.
func (g *Suggestion) estimate(ctx context.Context, s *Setup, m *Model) error {
	e, err := g.planMotion(ctx, s, m)
	if err != nil {
		return ctx.Err()
	}
	g.Estimate = e
	return nil
}

func (g *Suggestion) planMotion(ctx context.Context, s *Setup, m *Model) (*Estimate, error) {
	if g.Setup.Part.Turn != s.Part.Turn {
		var err error
		if m, err = ReadModel(ctx, g.Setup); err != nil {
			return nil, err
		}
	}
	regions, err := warped(ctx, g.Setup, m)
	if err != nil {
		return nil, err
	}
	return EstimatePlan(ctx, g.Setup, m, regions)
}

// suggestFiles makes the bytes of each file, the list last.
func suggestFiles(found []Suggestion, dir string) (files [][]byte, names []string, err error) {
	var list []SuggestLog
	for i := range found {
		g := &found[i]
		data, err := g.Setup.rebased(dir).JSON()
		if err != nil {
			return nil, nil, err
		}
		name, f := fmt.Sprintf("%d.json", i+1), &g.Plan.Figures
		files, names = append(files, data), append(names, name)
		entry := SuggestLog{
			File: name, Why: g.Plan.Why,
			OverhangArea: tidy(f.OverhangArea), LevelArea: tidy(f.LevelArea), MidairStarts: f.MidairStarts,
			Turn: g.Setup.Part.Turn, Zones: f.Zones, Shells: f.Shells, WarpedHeight: tidy(f.WarpedHeight), OffSquare: tidy(f.OffSquareDeg), Head: f.HeadHints,
		}
		if e := g.Estimate; e != nil {
			seconds, filament, support := tidy(e.Seconds), tidy(e.Filament), tidy(e.Support)
			entry.Seconds, entry.Filament, entry.SupportVolume = &seconds, &filament, &support
		}
		if g.Trial != nil {
			entry.Left = g.Trial.Left
		}
		list = append(list, entry)
	}
	data, err := json.MarshalIndent(list, "", "  ")
	return append(files, append(data, '\n')), append(names, SuggestName), err
}

// rebased returns a copy of s whose relative paths start from dir.
func (s *Setup) rebased(dir string) *Setup {
	c := s.Clone()
	c.Part.File = from(dir, s.Part.File, s.PartPath())
	if _, builtin := machine.Builtin(s.Machine.Ref); s.Machine.Ref != "" && !builtin {
		c.Machine.Ref = from(dir, s.Machine.Ref, s.resolve(s.Machine.Ref))
	}
	c.dir = dir
	return c
}

// from returns path, which the user wrote as given, as seen from dir: as given
// if that is absolute, else relative where a relative way surely leads there.
func from(dir, given, path string) string {
	if filepath.IsAbs(given) {
		return given
	}
	a, err := filepath.Abs(path)
	if err != nil {
		return path
	}
	d, err := filepath.Abs(dir)
	if err != nil {
		return a
	}
	rel, err := filepath.Rel(d, a)
	if err != nil || real(d) != d { // past a link, .. leads elsewhere
		return a
	}
	return filepath.ToSlash(rel)
}

// real returns path with every link on the way followed, as far as it exists.
func real(path string) string {
	if r, err := filepath.EvalSymlinks(path); err == nil || path == filepath.Dir(path) {
		return cmp.Or(r, path)
	}
	return filepath.Join(real(filepath.Dir(path)), filepath.Base(path))
}

func firstMissing(dir string) string {
	missing := ""
	for d := filepath.Clean(dir); ; d = filepath.Dir(d) {
		if _, err := os.Lstat(d); err == nil || d == filepath.Dir(d) {
			return missing
		}
		missing = d
	}
}

// writeSuggested writes files into dir, which it makes if need be: all wait
// aside until the last is whole. Plans of an earlier, longer list are removed.
func writeSuggested(dir string, files [][]byte, names []string) (err error) {
	made := firstMissing(dir)
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return runfolder.Unwritable(dir, err)
	}
	stage, err := os.MkdirTemp(dir, ".conewright-suggest-")
	if err != nil {
		return runfolder.Unwritable(dir, err)
	}
	defer func() {
		os.RemoveAll(stage)
		if err != nil && made != "" {
			os.RemoveAll(made)
		}
	}()
	for i, data := range files {
		if err := os.WriteFile(filepath.Join(stage, names[i]), data, 0o666); err != nil {
			return runfolder.Unwritable(dir, err)
		}
	}
	for _, name := range names {
		if err := atomic.ReplaceFile(filepath.Join(stage, name), filepath.Join(dir, name)); err != nil {
			return runfolder.Unwritable(dir, err)
		}
	}
	for i := len(names); i <= suggest.MaxPlans; i++ {
		os.Remove(filepath.Join(dir, fmt.Sprintf("%d.json", i))) // if it stays, suggest.json doesn't name it
	}
	return nil
}
