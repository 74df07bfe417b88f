package window

import (
	"math"
	"path/filepath"
	"testing"

	"conewright/geom/machine"
	"conewright/geom/testpiece"
)

// takes chooses a piece, writes a reading and takes it over.
func (b *bench) takes(kind, reading string) {
	b.t.Helper()
	b.pane.lay("pieces")
	b.pieces.kind = kind
	b.pieces.show()
	b.pieces.reading.SetText(reading)
	if b.pieces.take.Disabled() {
		b.t.Fatalf("%s of %s can't be taken over: %s", reading, kind, b.pieces.result.Text)
	}
	b.pieces.take.OnTapped()
}

func TestATestPieceIsMadeAndOpened(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.pane.lay("pieces")
	b.pieces.kind = testpiece.Flow
	b.pieces.make.OnTapped()
	s := b.session.Setup()
	if filepath.Base(s.PartPath()) != "flow.stl" || s.Planner.Walls != 1 || s.Machine.Card.Name != "swivel-45" {
		t.Fatalf("opened %s with %+v", s.PartPath(), s.Planner)
	}
	b.until("the piece is read", func() bool { f := b.session.Facts(); return f != nil && f.Setup == s && f.Part != nil })
	if err := b.session.Facts().Err; err != nil {
		t.Fatal(err)
	}
}

func TestTheFlowsNumberGoesIntoAnOwnCardsFile(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.pane.lay("card")
	b.card.change(func(c *machine.Card) { c.Name = "mine" })
	file := filepath.Join(b.dir, "mine.json")
	if err := b.card.save(file); err != nil {
		t.Fatal(err)
	}
	b.takes(testpiece.Flow, "0.5") // wanted are 0.45: too much comes out
	card, err := readCard(file)
	if err != nil || !(card.Filament > 1.8 && card.Filament < 1.9) {
		t.Errorf("the file has %v (%v)", card.Filament, err)
	}
	if got := b.session.Setup().Machine.Card.Filament; got != card.Filament {
		t.Errorf("the job has %g", got)
	}
	b.session.Undo()
	if got := b.session.Setup().Machine.Card.Filament; got != 1.75 {
		t.Errorf("undone, the job has %g", got)
	}
}

func TestABuiltinCardsNumberIsShownInTheEditorToBeSaved(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.chooseMachine("straight")
	b.takes(testpiece.First, "1.25")
	if tip := b.session.Setup().Machine.Card.Head.Tip[2]; math.Abs(tip-0.05) > 1e-9 {
		t.Errorf("the tip is at %g", tip)
	}
	if b.pane.open == nil || b.pane.open.key != "card" {
		t.Error("the card isn't laid open")
	}
}

func TestOverhangAndFanAreKeptUnderNames(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.takes(testpiece.Droop, "50")
	if next := b.settings.PrintSettingsOfNext(); next == nil || next.Overhang != 50 || b.session.Setup().Overhang != 50 {
		t.Errorf("the next part gets %v", next)
	}
	b.takes(testpiece.Bridge, "70")
	if f, ok := b.settings.OwnFilament("PLA"); !ok || f.Fan != 0.7 || b.session.Setup().Material.Fan != 0.7 {
		t.Errorf("PLA has %v", f)
	}
}

func TestAReadingThatCantBeIsRefused(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.pane.lay("pieces")
	for kind, reading := range map[string]string{testpiece.Flow: "5", testpiece.First: "x", testpiece.Droop: "200", testpiece.Bridge: "300"} {
		b.pieces.kind = kind
		b.pieces.show()
		b.pieces.reading.SetText(reading)
		if !b.pieces.take.Disabled() || b.pieces.result.Text == "" {
			t.Errorf("%s of %s is taken: %q", reading, kind, b.pieces.result.Text)
		}
	}
}
