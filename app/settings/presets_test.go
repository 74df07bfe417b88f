package settings

import (
	"testing"

	"conewright/geom/job"
)

func TestAPresetIsKeptUnderItsNameAndRemoved(t *testing.T) {
	dir := t.TempDir()
	usual := job.Defaults()
	mine := Preset{Name: " sturdy ", PrintSettings: usual.PrintSettings()}
	mine.Planner.Walls, mine.Support, mine.Planner.Foot = 4, job.SupportStarts, 2
	s := Settings{}.WithPreset(mine)
	if err := s.Save(dir); err != nil {
		t.Fatal(err)
	}
	s = Load(dir)
	got, ok := s.PresetOf(mine.PrintSettings)
	if !ok || got.Name != "sturdy" || s.Preset != "sturdy" || got.Planner.Walls != 4 || got.Support != job.SupportStarts {
		t.Errorf("it came back as %v, %v", got, ok)
	}
	if got.Planner.Foot != 0 {
		t.Error("a preset holds a foot, which belongs to the zones")
	}
	if first, ok := s.PresetOf(usual.PrintSettings()); !ok || first.Name != FirstPresets()[0].Name {
		t.Errorf("a new job's settings are called %q", first.Name)
	}
	if next := s.PrintSettingsOfNext(); next == nil || next.Planner.Walls != 4 {
		t.Errorf("the next part gets %v", next)
	}
	s = s.WithoutPreset("sturdy")
	if _, ok := s.PresetOf(mine.PrintSettings); ok || s.Presets != nil || s.PrintSettingsOfNext() != nil {
		t.Errorf("removed, %v are left", s.Presets)
	}
}

// Every preset of a first start is one that a job takes.
func TestFirstPresetsMakeSense(t *testing.T) {
	for _, p := range FirstPresets() {
		s, err := job.New("part.stl", "swivel-45")
		if err != nil {
			t.Fatal(err)
		}
		next := s.Clone()
		next.Zones.Field = &job.Field{Kind: job.KindCone, Grow: job.GrowOutward, Angle: 45, Axis: &[2]float64{100, 100}}
		next.TakePrintSettings(p.PrintSettings)
		if err := next.Check(); err != nil {
			t.Errorf("%s: %v", p.Name, err)
		}
		for _, n := range []job.Numbers{next.Numbers(next.Zones.Field)} {
			if !job.LowEnough(&n, 0.4) || !job.WideEnough(&n, 0.4) {
				t.Errorf("%s: layers of %.2f mm, lines %.2f mm wide with a nozzle of 0.4 mm on a cone of 45 degrees", p.Name, n.LayerHeight, n.LineWidth)
			}
		}
	}
}

func TestPresetsThatMakeNoSenseAreLeftOut(t *testing.T) {
	usual := job.Defaults()
	if got := soundPresets([]Preset{{Name: "a"}, {PrintSettings: usual.PrintSettings()}, {Name: "c", PrintSettings: usual.PrintSettings()}}); len(got) != 1 || got[0].Name != "c" {
		t.Errorf("%v", got)
	}
}
