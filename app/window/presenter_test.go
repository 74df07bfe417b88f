package window

import (
	"testing"

	"conewright/app/lessons"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"
)

func (b *bench) key(name fyne.KeyName) {
	if f := b.win.Canvas().Focused(); f != nil {
		f.TypedKey(&fyne.KeyEvent{Name: name})
		return
	}
	b.win.Canvas().OnTypedKey()(&fyne.KeyEvent{Name: name})
}

func TestPresentingLeavesTheSheetAndTheLessonsWords(t *testing.T) {
	b := newBench(t)
	b.ApplyAppearance()
	usual := theme.TextSize()
	b.course.begin()
	b.judged()
	b.key(fyne.KeyF11)
	c := b.course
	if !b.win.FullScreen() || c.side.Visible() || b.bottom.view.Visible() || !c.strip.Visible() || b.win.MainMenu() != nil {
		t.Errorf("full screen %v, panel %v, bar %v, strip %v", b.win.FullScreen(), c.side.Visible(), b.bottom.view.Visible(), c.strip.Visible())
	}
	if height := b.win.Canvas().Size().Height; theme.TextSize() < 0.021*height {
		t.Errorf("texts are %g high on %g", theme.TextSize(), height)
	}
	// The question, what came, the exercise, its solution, the next lesson.
	for i, want := range []struct {
		at   int
		step lessons.Step
	}{{0, lessons.Came}, {0, lessons.Exercise}, {0, lessons.Exercise}, {1, lessons.Foretell}} {
		b.key(fyne.KeyPageDown)
		if c.panel.At() != want.at || c.panel.Step() != want.step {
			t.Errorf("after %d keys: lesson %d, step %d", i+1, c.panel.At(), c.panel.Step())
		}
	}
	b.sheet.TypedRune('B') // letters answer, though the sheet has the focus
	if c.panel.Step() != lessons.Came {
		t.Error("the letter foretells nothing")
	}
	b.key(fyne.KeyPageUp)
	b.key(fyne.KeyPageUp)
	if c.panel.At() != 0 || c.panel.Step() != lessons.Exercise {
		t.Errorf("back at lesson %d, step %d", c.panel.At(), c.panel.Step())
	}
	b.key(fyne.KeyF9)
	if !c.side.Visible() || c.strip.Visible() {
		t.Error("the panel doesn't come when asked for")
	}
	b.key(fyne.KeyF11)
	if b.win.FullScreen() || !c.side.Visible() || !b.bottom.view.Visible() || c.strip.Visible() || b.win.MainMenu() == nil || theme.TextSize() != usual {
		t.Error("the window doesn't come back as it was")
	}
	b.key(fyne.KeyF9)
	if !c.side.Visible() {
		t.Error("the panel goes though nobody presents")
	}
}

func TestTheLastLessonStaysOnTheWall(t *testing.T) {
	b := newBench(t)
	b.course.begin()
	b.course.panel.Open(len(lessons.All()) - 1)
	b.key(fyne.KeyF11)
	for range 9 {
		b.key(fyne.KeyPageDown)
	}
	if !b.course.on || b.course.panel.Step() != lessons.Exercise {
		t.Error("the course ends before the class")
	}
	b.key(fyne.KeyEscape)
	if b.win.FullScreen() {
		t.Error("Escape doesn't leave the full screen")
	}
}
