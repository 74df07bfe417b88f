package window

import (
	"os"
	"path/filepath"
	"testing"
)

func TestACarriedFileHasThePartsPlainName(t *testing.T) {
	for _, c := range []struct{ part, plain, short string }{
		{"/home/x/Lampenfuß 2.stl", "Lampenfu--2.gcode", "LAMPENFU.GCO"},
		{"cup.3mf", "cup.gcode", "CUP.GCO"},
		{"杯.stl", "part.gcode", "PART.GCO"},
		{"a.b.obj", "a-b.gcode", "A-B.GCO"},
	} {
		if got := carriedName(c.part, false); got != c.plain {
			t.Errorf("%s becomes %s, want %s", c.part, got, c.plain)
		}
		if got := carriedName(c.part, true); got != c.short {
			t.Errorf("%s becomes %s, want %s", c.part, got, c.short)
		}
	}
}

func TestTheCardsEditorChoosesShortFileNamesForItsMachine(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.pane.lay("card")
	b.card.names.show(b.card.draft)
	if got := carriedName("lampfoot2.stl", b.settings.ShortNames("swivel-45")); got != "lampfoot2.gcode" {
		t.Errorf("at first %s", got)
	}
	names := b.card.names.object.(*choice)
	names.SetSelectedIndex(1)
	if !b.settings.ShortNames("swivel-45") || b.settings.ShortNames("straight") {
		t.Errorf("chosen for %v", b.settings.Short)
	}
	if s := b.session.Setup(); s.Machine.Ref != "swivel-45" {
		t.Error("the card in the job changed")
	}
	names.SetSelectedIndex(0)
	if b.settings.ShortNames("swivel-45") {
		t.Error("it can't be taken back")
	}
}

func TestACarriedFileIsTheSameBytes(t *testing.T) {
	dir := t.TempDir()
	from, to := filepath.Join(dir, motionName), filepath.Join(dir, "cup.gcode")
	if err := os.WriteFile(from, []byte("G1 X1\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := carry(from, to); err != nil {
		t.Fatal(err)
	}
	if got, err := os.ReadFile(to); err != nil || string(got) != "G1 X1\n" {
		t.Errorf("%q (%v)", got, err)
	}
	if err := carry(filepath.Join(dir, "gone"), to); err == nil {
		t.Error("a file that isn't there was carried")
	}
}
