package window

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"conewright/app/focus"
	"conewright/geom/job"
	"conewright/geom/machine"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
)

// tapNote presses a button of the note that is open, by its text.
func (b *bench) tapNote(text string) {
	b.t.Helper()
	button := findFocusButton(b.win.Canvas().Overlays().Top(), text)
	if button == nil {
		b.t.Fatalf("no button says %q", text)
	}
	test.Tap(button)
}

// A part that is opened over a plan can take the plan's part's place, print beside it,
// or begin anew; a job replaces the plan after the question about changes alone.
func TestAPartOpenedOverAPlanKeepsThePlanIfWanted(t *testing.T) {
	b := newBench(t)
	other := filepath.Join(t.TempDir(), "other.stl")
	data, err := os.ReadFile(spindle(t, t.TempDir()))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(other, data, 0o644); err != nil {
		t.Fatal(err)
	}
	b.openOrAdd(spindle(t, b.dir)) // nothing is open: nothing is asked
	b.judged()
	if b.asking {
		t.Fatal("a first part is asked about")
	}
	b.openOrAdd(spindle(t, t.TempDir())) // nothing was changed: there is no plan to keep
	b.judged()
	if b.asking {
		t.Fatal("a second part is asked about though nothing would be lost")
	}
	b.do("step.shell", func(s *job.Setup) { s.Shell = 0.25 })
	b.judged()

	b.openOrAdd(other)
	b.tapNote("Replace the part")
	b.judged()
	if s := b.session.Setup(); filepath.Base(s.Part.File) != "other.stl" || s.Shell != 0.25 {
		t.Errorf("replaced: %s with shells of %g mm", s.Part.File, s.Shell)
	}
	b.openOrAdd(other)
	b.tapNote("Add it to the bed")
	b.judged()
	if got := strings.Join(partNames(b.session.Setup()), " "); got != "other other-2" {
		t.Errorf("added: %s", got)
	}
	b.openOrAdd(other)
	b.tapNote("New job")
	b.tapNote("Don't save")
	b.judged()
	if s := b.session.Setup(); len(s.Parts) != 0 || s.Shell != 0.2 {
		t.Errorf("a new job has %d parts and shells of %g mm", len(s.Parts), s.Shell)
	}
}

// A card with axes on head or bed isn't told as one of three axes.
func TestACardWithTurningAxesIsToldByThem(t *testing.T) {
	newBench(t) // the language
	for _, name := range machine.BuiltinNames() {
		card, _ := machine.Builtin(name)
		if text := machineText(card); (len(card.Rotary) > 0) != strings.Contains(text, "Turning axes: ") {
			t.Errorf("%s: %s", name, text)
		}
	}
}

// findFocusButton returns the button of a text in an object; nil: there is none.
func findFocusButton(o fyne.CanvasObject, text string) *focus.Button {
	for _, found := range test.LaidOutObjects(o) {
		if b, ok := found.(*focus.Button); ok && b.Text == text {
			return b
		}
	}
	return nil
}
