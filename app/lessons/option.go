package lessons

import (
	"conewright/app/focus"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// option is an answer to choose: words that wrap, taken by a click, by Space or
// Return.
type option struct {
	widget.BaseWidget
	label  *widget.Label
	ring   focus.Ring
	chosen func()
	over   bool
}

var (
	_ fyne.Focusable      = (*option)(nil)
	_ fyne.Tappable       = (*option)(nil)
	_ desktop.Hoverable   = (*option)(nil)
	_ desktop.Cursorable  = (*option)(nil)
	_ fyne.WidgetRenderer = (*optionRenderer)(nil)
)

func newOption(chosen func()) *option {
	o := &option{label: paragraph(), chosen: chosen}
	o.ExtendBaseWidget(o)
	return o
}

// SetText sets the words.
func (o *option) SetText(words string) {
	o.label.SetText(words)
	o.Refresh()
}

// Tapped chooses it.
func (o *option) Tapped(*fyne.PointEvent) { o.chosen() }

// TypedKey chooses it on Space and Return.
func (o *option) TypedKey(e *fyne.KeyEvent) {
	switch e.Name {
	case fyne.KeySpace, fyne.KeyReturn, fyne.KeyEnter:
		o.chosen()
	default:
		focus.PassOn(o, e)
	}
}

// TypedRune leaves letters to the window.
func (o *option) TypedRune(r rune) { focus.PassOnRune(o, r) }

// FocusGained frames the option and scrolls to it.
func (o *option) FocusGained() {
	o.ring.Show(true)
	focus.Reveal(o)
}

// FocusLost takes the frame away.
func (o *option) FocusLost() { o.ring.Show(false) }

// MouseIn tints the option.
func (o *option) MouseIn(*desktop.MouseEvent) { o.over = true; o.Refresh() }

// MouseMoved does nothing.
func (o *option) MouseMoved(*desktop.MouseEvent) {}

// MouseOut takes the tint away.
func (o *option) MouseOut() { o.over = false; o.Refresh() }

// Cursor is a hand.
func (o *option) Cursor() desktop.Cursor { return desktop.PointerCursor }

// CreateRenderer is the toolkit's door.
func (o *option) CreateRenderer() fyne.WidgetRenderer {
	o.ExtendBaseWidget(o)
	r := &optionRenderer{o: o, ground: canvas.NewRectangle(nil)}
	r.ground.StrokeWidth = 1
	return o.ring.Around(r)
}

type optionRenderer struct {
	o      *option
	ground *canvas.Rectangle
}

// Layout gives the words all of the option.
func (r *optionRenderer) Layout(size fyne.Size) {
	r.ground.Resize(size)
	r.o.label.Resize(size)
}

// MinSize is that of the words in the width that there is.
func (r *optionRenderer) MinSize() fyne.Size { return r.o.label.MinSize() }

// Refresh draws the ground in the theme's colours.
func (r *optionRenderer) Refresh() {
	th, v := r.o.Theme(), fyne.CurrentApp().Settings().ThemeVariant()
	r.ground.FillColor = th.Color(theme.ColorNameButton, v)
	if r.o.over {
		r.ground.FillColor = th.Color(theme.ColorNameInputBackground, v)
	}
	r.ground.StrokeColor = th.Color(theme.ColorNamePlaceHolder, v)
	r.ground.CornerRadius = th.Size(theme.SizeNameInputRadius)
	r.ground.Refresh()
	r.o.label.Refresh()
}

// Objects are the ground and the words.
func (r *optionRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.ground, r.o.label}
}

// Destroy does nothing.
func (r *optionRenderer) Destroy() {}
