package window

import (
	"path/filepath"
	"testing"

	"conewright/geom/describe"

	"fyne.io/fyne/v2"
)

// Every kind goes from the first question to a saved card that checks, in at most
// eight questions; the drawing moves by every axis.
func TestTheGuideEndsInACardOfEachKind(t *testing.T) {
	b := newBench(t)
	b.route.show(b.route.find("machine"))
	b.guide.begin()
	if b.welcome.Visible() || !b.pane.view.Visible() {
		t.Fatal("the guide doesn't open on an empty sheet")
	}
	for _, kind := range describe.Kinds() {
		b.guide.at = "turns"
		b.guide.take(describe.Begin(describe.Head))
		b.guide.show()
		pick := b.guide.parts[0].object.(*choice)
		for i, k := range pick.values {
			if k == string(kind) {
				pick.SetSelectedIndex(i)
			}
		}
		if got := describe.KindOf(b.guide.draft); got != kind {
			t.Fatalf("chose %s, the draft is %q", kind, got)
		}
		asked := 1
		for !b.guide.next.Disabled() {
			b.guide.next.OnTapped()
			asked++
			if len(b.guide.parts) == 0 || b.win.Canvas().Focused() == nil {
				t.Errorf("%s, %s: nothing has the focus", kind, b.guide.at)
			}
		}
		if asked > 8 || b.guide.at != "check" {
			t.Errorf("%s: %d questions, the last is %s", kind, asked, b.guide.at)
		}
		for _, axis := range describe.Moves(b.guide.draft) {
			b.guide.mover.begin(axis)
			b.guide.mover.tick(b.guide.mover.round)
			if b.guide.picture.stress == nil || *b.guide.picture.stress != axis {
				t.Errorf("%s: the drawing doesn't move by %s", kind, axis.Letter)
			}
			b.guide.mover.stop()
		}
		path := filepath.Join(b.dir, string(kind)+".json")
		if err := b.writeCard(path, b.guide.draft); err != nil {
			t.Fatal(err)
		}
		card, err := readCard(path)
		if err != nil || describe.KindOf(card) != kind {
			t.Errorf("%s: the saved card is %q (%v)", kind, describe.KindOf(card), err)
		}
	}
}

// An axis that goes the other way in the drawing is turned round, and the text says
// so.
func TestAWrongSenseIsTurnedRound(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.guide.take(describe.Begin(describe.TwoOnBed))
	b.guide.at = "check"
	b.pane.lay("describe")
	b.guide.mover.begin(describe.Move{Letter: "A", Linear: -1, Turn: 0})
	before := b.guide.mover.told.Text
	b.guide.mover.other.OnTapped()
	if b.guide.draft.Rotary[0].Sense != -1 || b.guide.mover.told.Text == before {
		t.Errorf("sense %g, %q", b.guide.draft.Rotary[0].Sense, b.guide.mover.told.Text)
	}
	b.guide.mover.stop()
	b.guide.edit()
	if got := b.session.Setup().Machine.Card; got.Rotary[0].Sense != -1 || b.pane.open.key != "card" {
		t.Error("the card isn't in the editor")
	}
}

// A number that makes no card is told, and the drawing keeps the last good card.
func TestTheGuideTellsWhatIsWrong(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.guide.take(describe.Begin(describe.Head))
	b.guide.at = "far"
	b.pane.lay("describe")
	b.write(b.guide.parts[0], "900")
	if b.guide.check() == nil || b.guide.fault.Text == " " {
		t.Error("a travel from 900 to 250 is taken")
	}
	b.write(b.guide.parts[0], "0")
	if err := b.guide.check(); err != nil || b.guide.fault.Text != " " {
		t.Errorf("mended, and still: %v", err)
	}
}

// The guide is used by keys alone: Tab comes to every field and button.
func TestTabReachesTheWholeGuide(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.guide.take(describe.Begin(describe.HeadAndBed))
	for _, q := range b.guide.asked() {
		b.guide.at = q
		b.pane.lay("describe")
		stops := map[fyne.Focusable]bool{}
		for _, s := range b.tabStops() {
			stops[s] = true
		}
		for _, p := range b.guide.parts {
			f := p.object.(fyne.Focusable)
			if d, ok := p.object.(fyne.Disableable); !stops[f] && (!ok || !d.Disabled()) {
				t.Errorf("%s: Tab doesn't reach a %T", q, p.object)
			}
		}
	}
}

// The axis test is offered with the cautions, and a card without room for it is told.
func TestTheAxisTestComesAfterTheCautions(t *testing.T) {
	b := newBench(t)
	b.guide.take(describe.Begin(describe.TwoOnBed))
	b.guide.at = "check"
	b.route.show(b.route.find("machine"))
	b.pane.lay("describe")
	b.guide.askAxisTest()
	if !b.asking {
		t.Error("no cautions")
	}
}
