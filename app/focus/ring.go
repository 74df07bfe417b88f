package focus

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/theme"
)

// Ring puts a frame round a widget's drawing while it has the focus: a frame is
// seen by those, too, who don't see the toolkit's change of colour. It is a line
// of ink with one of paper within, so that it stands out from any ground. The
// widget calls Show from FocusGained and FocusLost.
type Ring struct {
	ink, paper *canvas.Rectangle
	on, wrong  bool
}

// Widths of the ring's lines, in the toolkit's units.
const (
	inkWidth   = 2.
	paperWidth = 1.5
)

// Around returns a widget's renderer with the ring about it.
func (r *Ring) Around(inner fyne.WidgetRenderer) fyne.WidgetRenderer {
	r.ink, r.paper = canvas.NewRectangle(color.Transparent), canvas.NewRectangle(color.Transparent)
	r.ink.StrokeWidth, r.paper.StrokeWidth = inkWidth, paperWidth
	r.draw()
	return &ringed{inner, r, nil}
}

// AroundEntry is Around for an entry of one line: the wheel scrolls what the entry
// lies in.
func (r *Ring) AroundEntry(inner fyne.WidgetRenderer, entry fyne.CanvasObject) fyne.WidgetRenderer {
	r.Around(inner)
	return &ringed{inner, r, newWheel(entry)}
}

// Show shows the ring, or hides it.
func (r *Ring) Show(on bool) {
	r.on = on
	if r.ink != nil {
		r.draw()
		r.ink.Refresh()
		r.paper.Refresh()
	}
}

// Wrong keeps the ring shown, in the colour of faults, while what the widget
// holds can't be used.
func (r *Ring) Wrong(wrong bool) {
	r.wrong = wrong
	r.Show(r.on)
}

func (r *Ring) draw() {
	th, v := fyne.CurrentApp().Settings().Theme(), fyne.CurrentApp().Settings().ThemeVariant()
	r.ink.StrokeColor = th.Color(theme.ColorNamePrimary, v)
	if r.wrong {
		r.ink.StrokeColor = th.Color(theme.ColorNameError, v)
	}
	r.paper.StrokeColor = th.Color(theme.ColorNameForegroundOnPrimary, v)
	r.ink.CornerRadius = th.Size(theme.SizeNameInputRadius)
	r.ink.Hidden, r.paper.Hidden = !r.on && !r.wrong, !r.on && !r.wrong
}

type ringed struct {
	fyne.WidgetRenderer
	ring  *Ring
	wheel *wheel // nil: none
}

func (r *ringed) Layout(size fyne.Size) {
	r.WidgetRenderer.Layout(size)
	r.ring.ink.Resize(size)
	r.ring.paper.Move(fyne.NewSquareOffsetPos(inkWidth))
	r.ring.paper.Resize(size.Subtract(fyne.NewSquareSize(2 * inkWidth)))
	if r.wheel != nil {
		r.wheel.Resize(size)
	}
}

func (r *ringed) Refresh() {
	r.WidgetRenderer.Refresh()
	r.ring.draw()
}

// Objects are the widget's, and the ring over them.
func (r *ringed) Objects() []fyne.CanvasObject {
	inner := r.WidgetRenderer.Objects()
	all := append(inner[:len(inner):len(inner)], r.ring.ink, r.ring.paper)
	if r.wheel != nil {
		all = append(all, r.wheel)
	}
	return all
}
