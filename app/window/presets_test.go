package window

import (
	"testing"

	"conewright/geom/job"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
)

func TestAPresetIsChosenKeptAndUsedForTheNextPart(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.route.show(b.route.find("shells"))
	rows := b.shells.preset
	if rows.choice.Selected != "0.20 mm" || !rows.remove.Disabled() {
		t.Fatalf("a new job's settings are called %q", rows.choice.Selected)
	}
	b.do("step.walls", func(s *job.Setup) { s.Planner.Walls = 3 })
	if rows.choice.Selected != "" {
		t.Errorf("other values are called %q", rows.choice.Selected)
	}
	test.Tap(rows.keep)
	name := b.win.Canvas().Focused().(*nameEntry)
	name.SetText("vases")
	name.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if b.asking || rows.choice.Selected != "vases" || rows.remove.Disabled() {
		t.Fatalf("kept, they are called %q", rows.choice.Selected)
	}
	rows.choice.SetSelected("0.20 mm")
	if got := b.session.Setup().Planner.Walls; got != 2 {
		t.Errorf("%d walls of the usual settings", got)
	}
	if b.session.UndoName() != "step.preset" {
		t.Errorf("the step is called %q", b.session.UndoName())
	}
	rows.choice.SetSelected("vases")
	b.openPart() // the next day
	if got := b.session.Setup().Planner.Walls; got != 3 {
		t.Errorf("%d walls of the next part", got)
	}
	test.Tap(rows.remove)
	if rows.choice.Selected != "" || b.session.Setup().Planner.Walls != 3 {
		t.Errorf("removed, they are called %q", rows.choice.Selected)
	}
}

// A preset that a zone is too steep for is refused in words, and the job stays.
func TestAPresetThatDoesNotFitIsRefusedBesideTheRow(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.route.show(b.route.find("shells"))
	b.do("step.field", func(s *job.Setup) { setKind(s, s.Zones.Field, job.KindLevel) })
	b.do("step.shell", func(s *job.Setup) { s.Shell = 0.3 })
	b.shells.preset.of.keep(b.session.Setup(), "thick")
	b.do("step.shell", func(s *job.Setup) { s.Shell = 0.2 })
	b.do("step.field", func(s *job.Setup) { setKind(s, s.Zones.Field, "outward") })
	was := b.session.Setup()
	b.choosePreset("thick")
	if b.session.Setup() != was || b.asking {
		t.Error("lines narrower than their layers are high are taken, or asked about in a dialog")
	}
	if text := b.route.find("shells").fault.Text; len(text) < 10 {
		t.Errorf("refused with %q", text)
	}
}
