package window

import (
	"testing"

	"fyne.io/fyne/v2"
)

func TestAZoneIsRenamedBesideItsField(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.zones.addCut()
	b.judged()
	b.route.show(b.route.find("zones"))
	b.motion.motion = map[string]string{b.zones.chosen: "brought.gcode"}
	was := b.zones.chosen
	b.zones.name.SetText("head")
	b.zones.name.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	s := b.session.Setup()
	if leafNamed(s, "head") == nil || leafNamed(s, was) != nil || b.zones.chosen != "head" || b.zones.zone.Selected != "head" {
		t.Errorf("zone %q is chosen, the choice shows %q", b.zones.chosen, b.zones.zone.Selected)
	}
	if b.motion.motion["head"] != "brought.gcode" || len(b.motion.motion) != 1 {
		t.Errorf("its motion file: %v", b.motion.motion)
	}
	for _, name := range []string{"no name", "PART", "con", ""} {
		b.zones.name.SetText(name)
		b.zones.name.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
		if b.session.Setup() != s || b.asking {
			t.Errorf("%q is taken, or asked about in a dialog", name)
		}
		if text := b.route.find("zones").fault.Text; len(text) < 10 {
			t.Errorf("%q is refused with %q", name, text)
		}
	}
	b.zones.name.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if b.zones.name.Text != "head" || len(b.route.find("zones").fault.Text) > 1 {
		t.Errorf("Escape leaves %q", b.zones.name.Text)
	}
}
