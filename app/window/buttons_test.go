package window

import (
	"slices"
	"testing"

	"conewright/app/focus"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
)

// buttonsIn lists the buttons that are seen in an object and can be pressed.
func buttonsIn(o fyne.CanvasObject) (found []*focus.Button) {
	if !o.Visible() {
		return nil
	}
	var inner []fyne.CanvasObject
	switch o := o.(type) {
	case *focus.Button:
		if !o.Disabled() {
			return []*focus.Button{o}
		}
	case *container.Scroll:
		inner = []fyne.CanvasObject{o.Content}
	case *container.ThemeOverride:
		inner = []fyne.CanvasObject{o.Content}
	case *fyne.Container:
		inner = o.Objects
	}
	for _, i := range inner {
		found = append(found, buttonsIn(i)...)
	}
	return found
}

// Each button is pressed in a window of its own, so that none depends on what another
// one did. A fault shows as a panic.
func TestEveryButtonOfTheFirstWindowCanBePressed(t *testing.T) {
	first := func() (*bench, []*focus.Button) {
		b := newBench(t)
		b.Show(nil)
		return b, buttonsIn(b.win.Content())
	}
	_, buttons := first()
	var pressed []string
	for i := range buttons {
		b, again := first()
		pressed = append(pressed, again[i].Text)
		again[i].Tapped(&fyne.PointEvent{})
		for b.win.Canvas().Overlays().Top() != nil {
			b.win.Canvas().Overlays().Top().Hide()
			b.win.Canvas().Overlays().Remove(b.win.Canvas().Overlays().Top())
		}
	}
	for _, text := range []string{"Open a part or job …", "Load …", "Describe a machine …", "Lessons"} {
		if !slices.Contains(pressed, text) {
			t.Errorf("%q isn't among %q", text, pressed)
		}
	}
}
