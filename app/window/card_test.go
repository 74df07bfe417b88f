package window

import (
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"conewright/geom/machine"

	"pgregory.net/rapid"
)

// row finds the row of the form where an entry is edited.
func (b *bench) row(entry string) *cardRow {
	b.t.Helper()
	for _, r := range b.card.rows {
		if r.holds(entry) {
			return r
		}
	}
	b.t.Fatalf("no row for %s", entry)
	return nil
}

// write writes into a field as a user does, and leaves it.
func (b *bench) write(part cardPart, text string) {
	switch f := part.object.(type) {
	case *numberField:
		f.SetText(text)
		f.take()
	case *listField:
		f.SetText(text)
		f.take()
	default:
		b.t.Fatalf("%T isn't written into", f)
	}
}

func (b *bench) openCard() {
	b.t.Helper()
	b.openPart()
	b.pane.lay("card")
	if b.sheet.Visible() || !b.pane.view.Visible() {
		b.t.Fatal("the card isn't on the desk")
	}
}

func TestACardThatChecksIsTakenAtOnceAndCanBeUndone(t *testing.T) {
	b := newBench(t)
	b.openCard()
	was := b.session.Setup().Machine.Card
	b.write(b.row("head.tilt").parts[0], "30")
	s := b.session.Setup()
	if s.Machine.Card.Head.Tilt != 30 || s.Machine.Ref != "" {
		t.Fatalf("the setup has %g degrees, card %q", s.Machine.Card.Head.Tilt, s.Machine.Ref)
	}
	b.write(b.row("swivel.tip_offset").parts[0], "-12,5")
	if got := b.session.Setup().Machine.Card.Swivel.TipOffset[0]; got != -12.5 {
		t.Errorf("the offset is %g", got)
	}
	if was.Swivel.TipOffset[0] != 0 || was.Head.Tilt != 45 {
		t.Error("the card of an earlier step has changed too")
	}
	b.session.Undo()
	b.session.Undo()
	if s := b.session.Setup(); s.Machine.Ref != "swivel-45" || b.row("head.tilt").parts[0].object.(*numberField).Text != "45.0" {
		t.Errorf("undone to %q", s.Machine.Ref)
	}
}

func TestAnEntryThatFailsIsMarkedAndNotTaken(t *testing.T) {
	b := newBench(t)
	b.openCard()
	was := b.session.Setup()
	for _, c := range []struct{ entry, text string }{
		{"nozzle", "99"}, {"travel.x", "300"}, {"head.profile", "0 0.3\n6"}, {"head.boxes", "1  1  1  0  0  0"},
	} {
		r := b.row(c.entry)
		part := r.parts[0]
		shown := func() string {
			switch f := part.object.(type) {
			case *numberField:
				return f.Text
			case *listField:
				return f.Text
			}
			return ""
		}
		before := shown()
		b.write(part, c.text)
		if b.session.Setup() != was {
			t.Errorf("%s: taken", c.entry)
		}
		if !strings.HasPrefix(r.label.Text, "! ") || strings.TrimSpace(b.card.fault.Text) == "" {
			t.Errorf("%s: not marked: %q", c.entry, r.label.Text)
		}
		if got := shown(); !strings.HasPrefix(got, c.text) {
			t.Errorf("%s: what was written is lost: %q", c.entry, got)
		}
		b.write(part, before)
		if strings.HasPrefix(r.label.Text, "! ") || strings.TrimSpace(b.card.fault.Text) != "" {
			t.Errorf("%s: still marked once mended: %s", c.entry, b.card.fault.Text)
		}
	}
}

func TestASavedCardLoadsAgainAndABrokenOneDoesnt(t *testing.T) {
	b := newBench(t)
	b.openCard()
	b.write(b.row("head.tilt").parts[0], "33")
	file := filepath.Join(b.dir, "mine.json")
	if err := b.card.save(file); err != nil {
		t.Fatal(err)
	}
	want := b.session.Setup().Machine.Card
	b.session.Undo()
	b.card.load(file)
	if got := b.session.Setup().Machine.Card; !reflect.DeepEqual(got, want) {
		t.Errorf("loaded %+v", got)
	}
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	broken := strings.Replace(string(data), `"tilt": 33`, `"tilt": 133`, 1)
	if err := os.WriteFile(file, []byte(broken), 0o666); err != nil {
		t.Fatal(err)
	}
	b.card.load(file)
	if !b.asking || b.session.Setup().Machine.Card.Head.Tilt != 33 {
		t.Error("a card that fails was taken without a word")
	}
}

func TestAnotherOperationClearsTheDesk(t *testing.T) {
	b := newBench(t)
	b.openCard()
	if b.route.open.key != "machine" {
		t.Errorf("the card lies on the desk and %s is open", b.route.open.key)
	}
	b.route.show(b.route.find("check"))
	if b.pane.view.Visible() || !b.sheet.Visible() {
		t.Error("the sheet is hidden still")
	}
}

func TestTakingTheSwivelOffAsksForAStraightHead(t *testing.T) {
	b := newBench(t)
	b.openCard()
	b.card.change(func(c *machine.Card) { b.card.setSwivel(c, false) })
	if !strings.HasPrefix(b.row("head.tilt").label.Text, "! ") {
		t.Errorf("the tilt isn't marked: %q", b.card.fault.Text)
	}
	if !b.row("swivel.zero").parts[0].object.(*numberField).Disabled() {
		t.Error("a swivel that isn't there has a zero")
	}
	b.write(b.row("head.tilt").parts[0], "0")
	if b.session.Setup().Machine.Card.Swivel != nil {
		t.Error("not taken")
	}
}

func TestListsOfNumbersComeBack(t *testing.T) {
	newBench(t)
	rapid.Check(t, func(t *rapid.T) {
		rows := rapid.SliceOfN(rapid.SliceOfN(rapid.Float64Range(-1e4, 1e4), 6, 6), 1, 5).Draw(t, "rows")
		got, err := parseRows(rowsText(rows), 6)
		if err != nil || !reflect.DeepEqual(got, rows) {
			t.Errorf("%v became %v (%v)", rows, got, err)
		}
	})
}
