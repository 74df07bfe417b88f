package window

import (
	"strings"
	"testing"

	"conewright/app/settings"
	"conewright/geom/job"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
)

func TestAFilamentIsChosenKeptAndRemoved(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.route.show(b.route.find("shells"))
	rows := b.shells.filament
	if rows.choice.Selected != "PLA" || !rows.remove.Disabled() {
		t.Fatalf("a new job's filament is %q, to be removed: %v", rows.choice.Selected, !rows.remove.Disabled())
	}
	rows.choice.SetSelected("PETG")
	material := func() job.Material { return b.session.Setup().Material }
	if material() != (job.Material{NozzleTemp: 240, BedTemp: 80, Fan: 0.5, Density: 1.27}) {
		t.Errorf("the job holds %v", material())
	}
	b.do("step.material", func(s *job.Setup) { s.Material.NozzleTemp = 233 })
	if rows.choice.Selected != "" || !rows.price.Disabled() {
		t.Errorf("other values are called %q", rows.choice.Selected)
	}

	test.Tap(rows.keep)
	name := b.win.Canvas().Focused().(*nameEntry)
	name.SetText("my spool")
	name.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if b.asking || rows.choice.Selected != "my spool" || rows.remove.Disabled() {
		t.Fatalf("kept, it is called %q", rows.choice.Selected)
	}
	rows.price.SetText("30")
	rows.price.take()
	if f, _ := settings.Load(b.settingsDir).OwnFilament("my spool"); f.Price != 30 || f.NozzleTemp != 233 {
		t.Errorf("the settings hold %v", f)
	}
	b.until("an estimate", func() bool { e := b.session.Estimate(); return e.Setup == b.session.Setup() && e.Result != nil })
	if text := b.motion.estimate.Text; !strings.Contains(text, "my spool for about 0.0") {
		t.Errorf("the cost is told as %q", text)
	}

	b.openPart() // the next day
	if material().NozzleTemp != 233 {
		t.Errorf("the next part's nozzle has %g °C", material().NozzleTemp)
	}
	test.Tap(rows.remove)
	if rows.choice.Selected != "" || material().NozzleTemp != 233 {
		t.Errorf("removed, it is called %q, and the job holds %v", rows.choice.Selected, material())
	}
}

func TestEscapeLeavesAFilamentsName(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.route.show(b.route.find("shells"))
	test.Tap(b.shells.filament.keep)
	b.win.Canvas().Focused().(*nameEntry).SetText("nothing")
	press(b, fyne.KeyEscape)
	if b.asking || len(b.settings.Filaments) != 0 {
		t.Errorf("a dialog is open: %v, kept: %v", b.asking, b.settings.Filaments)
	}
}
