package focus

import (
	"fmt"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

func TestTheFocusIsSeenWhereverItGoes(t *testing.T) {
	test.NewTempApp(t)
	column := container.NewVBox()
	var buttons []*Button
	for i := range 40 {
		b := NewButton(fmt.Sprint(i), nil)
		buttons = append(buttons, b)
		column.Add(b)
	}
	scroll := container.NewVScroll(container.NewThemeOverride(column, theme.DefaultTheme()))
	w := test.NewTempWindow(t, container.NewHSplit(widget.NewLabel(""), scroll))
	w.Resize(fyne.NewSize(400, 300))
	see := func(b *Button) {
		t.Helper()
		top := fyne.CurrentApp().Driver().AbsolutePositionForObject(b).Y - fyne.CurrentApp().Driver().AbsolutePositionForObject(scroll).Y
		if top < 0 || top+b.Size().Height > scroll.Size().Height {
			t.Errorf("%s stands from %g on in a view of %g", b.Text, top, scroll.Size().Height)
		}
		if b.ring.ink.Hidden {
			t.Errorf("%s has no frame", b.Text)
		}
	}
	for _, b := range buttons {
		w.Canvas().FocusNext()
		if w.Canvas().Focused() != b {
			t.Fatal("another has the focus")
		}
		see(b)
	}
	w.Canvas().Focus(buttons[3])
	see(buttons[3])
	if !buttons[39].ring.ink.Hidden {
		t.Error("what lost the focus keeps its frame")
	}
}

func TestReturnPressesAButton(t *testing.T) {
	test.NewTempApp(t)
	pressed := 0
	b := NewButton("", func() { pressed++ })
	for _, key := range []fyne.KeyName{fyne.KeyReturn, fyne.KeyEnter, fyne.KeySpace, fyne.KeyA} {
		b.TypedKey(&fyne.KeyEvent{Name: key})
	}
	b.Disable()
	b.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	if pressed != 3 {
		t.Errorf("pressed %d times", pressed)
	}
}

func TestALongTextScrollsByKeys(t *testing.T) {
	test.NewTempApp(t)
	column := container.NewVBox()
	for range 60 {
		column.Add(widget.NewLabel("line"))
	}
	text := NewText(column)
	w := test.NewTempWindow(t, text)
	w.Resize(fyne.NewSize(300, 200))
	most := column.Size().Height - text.scroll.Size().Height
	for _, c := range []struct {
		key  fyne.KeyName
		want float32
	}{{fyne.KeyUp, 0}, {fyne.KeyDown, step}, {fyne.KeyEnd, most}, {fyne.KeyDown, most}, {fyne.KeyHome, 0},
		{fyne.KeyPageDown, pagePart * text.scroll.Size().Height}, {fyne.KeyPageUp, 0}, {fyne.KeyA, 0}} {
		text.TypedKey(&fyne.KeyEvent{Name: c.key})
		if got := text.scroll.Offset.Y; got != c.want {
			t.Errorf("%s: at %g, want %g", c.key, got, c.want)
		}
	}
}

func TestWhatIsTooHighShowsItsBeginning(t *testing.T) {
	for _, c := range []struct{ offset, view, top, height, want float32 }{
		{0, 100, 10, 20, 0}, {0, 100, 90, 20, 18}, {50, 100, 40, 20, 32}, {0, 100, 200, 500, 192}, {50, 100, 0, 10, 0},
	} {
		if got := seen(c.offset, c.view, c.top, c.height); got != c.want {
			t.Errorf("%+v: %g", c, got)
		}
	}
}

// The wheel over an entry scrolls the page that it stands on.
func TestTheWheelOverAnEntryScrollsThePage(t *testing.T) {
	test.NewTempApp(t)
	column := container.NewVBox()
	for range 40 {
		column.Add(NewEntry())
	}
	scroll := container.NewVScroll(column)
	w := test.NewTempWindow(t, scroll)
	w.Resize(fyne.NewSize(300, 200))
	test.Scroll(w.Canvas(), fyne.NewPos(100, 100), 0, -50)
	if scroll.Offset.Y != 50 {
		t.Errorf("scrolled to %g, want 50", scroll.Offset.Y)
	}
}
