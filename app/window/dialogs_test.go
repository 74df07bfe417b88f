package window

import (
	"errors"
	"reflect"
	"testing"

	"conewright/geom/job"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"
)

func press(b *bench, key fyne.KeyName) {
	b.win.Canvas().Focused().TypedKey(&fyne.KeyEvent{Name: key})
}

func TestNotesAreAnsweredByKeys(t *testing.T) {
	b := newBench(t)
	b.complain(errors.New("something"))
	press(b, fyne.KeyEscape)
	if b.asking {
		t.Fatal("Escape doesn't close an error")
	}
	for steps := range 8 { // wherever the focus is: topics, the text, the button
		b.showHelp("")
		for range steps {
			b.win.Canvas().FocusNext()
		}
		press(b, fyne.KeyEscape)
		if b.asking {
			t.Fatalf("Escape doesn't close the help from a %T", b.win.Canvas().Focused())
		}
	}
	b.showCautions("card", func() { t.Error("agreed by Escape") })
	press(b, fyne.KeyEscape)
	if b.asking {
		t.Fatal("Escape doesn't close the cautions")
	}
	b.openPart()
	b.do("step.shell", func(s *job.Setup) { s.Shell = 0.25 })
	gone := 0
	b.ifSaved(func() { gone++ })
	press(b, fyne.KeyEscape)
	if b.asking || gone != 0 || !b.session.Unsaved() {
		t.Fatal("Escape isn't Cancel")
	}
	b.ifSaved(func() { gone++ })
	b.win.Canvas().FocusPrevious()
	press(b, fyne.KeyReturn) // don't save
	if b.asking || gone != 1 {
		t.Fatal("Return doesn't press the button that has the focus")
	}
}

func TestCautionsAreAgreedToByKeys(t *testing.T) {
	b := newBench(t)
	agreed := 0
	b.showCautions("card", func() { agreed++ })
	press(b, fyne.KeyReturn) // tick
	b.win.Canvas().FocusNext()
	b.win.Canvas().FocusNext()
	press(b, fyne.KeyReturn)
	if agreed != 1 || b.asking {
		t.Fatalf("agreed %d times", agreed)
	}
	b.showCautions("card", func() { agreed++ })
	b.win.Canvas().FocusNext()
	press(b, fyne.KeyReturn) // cancel: without the tick there is nothing else
	if agreed != 1 || b.asking {
		t.Fatal("agreed without a tick, or it stays")
	}
}

// A click beside a note takes the focus away; keys go on.
func TestANoteHearsKeysAfterAClickBesideIt(t *testing.T) {
	b := newBench(t)
	c := b.win.Canvas()
	before := reflect.ValueOf(c.OnTypedKey()).Pointer()
	b.complain(errors.New("something"))
	c.Unfocus()
	c.OnTypedKey()(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if b.asking {
		t.Error("Return doesn't close a note of one answer")
	}
	b.showNote("two answers", widget.NewLabel(""), fyne.NewSize(100, 100), answer{key: "cancel"}, answer{key: "save"})
	c.Unfocus()
	c.OnTypedKey()(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if !b.asking || c.Focused() == nil {
		t.Error("Return doesn't take the keyboard back to the note")
	}
	c.Unfocus()
	c.OnTypedKey()(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if after := reflect.ValueOf(c.OnTypedKey()).Pointer(); b.asking || after != before {
		t.Errorf("a note is open: %v, it listens to keys: %v", b.asking, after != before)
	}
}
