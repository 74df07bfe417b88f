package reach

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/theme"
)

// Ring puts a frame round a widget's drawing while it has the focus: a frame is
// seen by those, too, who don't see the toolkit's change of colour. The widget
// calls Show from FocusGained and FocusLost.
type Ring struct {
	rect *canvas.Rectangle
	on   bool
}

// Around returns a widget's renderer with the ring about it.
func (r *Ring) Around(inner fyne.WidgetRenderer) fyne.WidgetRenderer {
	r.rect = canvas.NewRectangle(color.Transparent)
	r.draw()
	return &ringed{inner, r}
}

// Show shows the ring, or hides it.
func (r *Ring) Show(on bool) {
	r.on = on
	if r.rect != nil {
		r.draw()
		r.rect.Refresh()
	}
}

func (r *Ring) draw() {
	th, v := fyne.CurrentApp().Settings().Theme(), fyne.CurrentApp().Settings().ThemeVariant()
	r.rect.StrokeColor, r.rect.StrokeWidth = th.Color(theme.ColorNamePrimary, v), 2
	r.rect.CornerRadius = th.Size(theme.SizeNameInputRadius)
	r.rect.Hidden = !r.on
}

type ringed struct {
	fyne.WidgetRenderer
	ring *Ring
}

func (r *ringed) Layout(size fyne.Size) {
	r.WidgetRenderer.Layout(size)
	r.ring.rect.Resize(size)
}

func (r *ringed) Refresh() {
	r.WidgetRenderer.Refresh()
	r.ring.draw()
}

// Objects are the widget's, and the ring over them.
func (r *ringed) Objects() []fyne.CanvasObject {
	inner := r.WidgetRenderer.Objects()
	return append(inner[:len(inner):len(inner)], r.ring.rect)
}
