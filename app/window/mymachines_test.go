package window

import (
	"os"
	"path/filepath"
	"testing"

	"conewright/app/settings"
	"conewright/geom/machine"
)

// A card that was saved is listed, taken by the next part, and remembered when
// the program starts again.
func TestASavedCardIsTheNextPartsMachine(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.pane.lay("card")
	b.card.change(func(c *machine.Card) { c.Name = "workshop"; c.Nozzle = 0.6 })
	path := filepath.Join(t.TempDir(), "workshop.json")
	if err := b.card.save(path); err != nil {
		t.Fatal(err)
	}
	if got := b.mine.refOf(b.session.Setup().Machine); got != path {
		t.Errorf("the job's card is told as %q", got)
	}
	next := New(Options{App: b.app, Post: func(f func()) {}, SettingsDir: b.settingsDir})
	defer next.win.Close()
	if next.first.Selected != "workshop" {
		t.Errorf("the empty sheet offers %q", next.first.Selected)
	}
	next.Open(b.session.Setup().PartPath())
	m := next.session.Setup().Machine
	if m.Card.Name != "workshop" || m.Card.Nozzle != 0.6 || m.Ref != "" {
		t.Errorf("the next part has %q, nozzle %g, referred to as %q", m.Card.Name, m.Card.Nozzle, m.Ref)
	}
	// A card that is gone doesn't keep a part from being opened.
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	last := New(Options{App: b.app, Post: func(f func()) {}, SettingsDir: b.settingsDir})
	defer last.win.Close()
	last.Open(b.session.Setup().PartPath())
	if s := last.session.Setup(); s == nil || s.Machine.Card.Name == "workshop" {
		t.Error("a card that is gone is used, or the part isn't opened")
	}
}

func TestOpeningACardOffersIt(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.pane.lay("card")
	b.card.change(func(c *machine.Card) { c.Name = "other" })
	path := filepath.Join(t.TempDir(), "other.json")
	if err := b.card.save(path); err != nil {
		t.Fatal(err)
	}
	b.remember(settings.Settings{}) // as on another day
	b.useMachines(nil, "")
	b.session.Undo()
	if b.session.Setup().Machine.Card.Name == "other" {
		t.Fatal("not undone")
	}
	b.Open(path)
	if got := b.session.Setup().Machine.Card.Name; got != "other" || b.route.open.key != "machine" {
		t.Errorf("the card's file gives %q, page %s", got, b.route.open.key)
	}
	if got := b.settings.Machines; len(got) != 1 {
		t.Errorf("listed are %q", got)
	}
}

func TestTheFirstStartAsksForTheMachineAndTakesOneByAClick(t *testing.T) {
	b := newBench(t)
	if b.firstAsk.Text == "" || b.firstTake.Disabled() {
		t.Fatalf("the first start asks %q", b.firstAsk.Text)
	}
	b.firstTake.OnTapped()
	if b.settings.Machine != "swivel-45" || b.firstAsk.Text != "" || !b.firstTake.Disabled() {
		t.Errorf("taken is %q, it asks %q", b.settings.Machine, b.firstAsk.Text)
	}
	if m := b.route.find("machine").row.mark; m != markDone {
		t.Errorf("the row's sign is %d", m)
	}
}
