package focus

import (
	"image/color"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"
)

// wheel lies over an entry of one line and hands the mouse wheel to what the entry
// lies in: the toolkit's entry keeps it, and the page doesn't scroll under the pointer.
type wheel struct {
	widget.BaseWidget
	entry fyne.CanvasObject
}

var _ fyne.Scrollable = (*wheel)(nil)

func newWheel(entry fyne.CanvasObject) *wheel {
	w := &wheel{entry: entry}
	w.ExtendBaseWidget(w)
	return w
}

// Scrolled scrolls the innermost scroll that the entry lies in.
func (w *wheel) Scrolled(e *fyne.ScrollEvent) {
	if scrolls := scrollsAround(w.entry); len(scrolls) > 0 {
		scrolls[len(scrolls)-1].Scrolled(e)
	}
}

// CreateRenderer is the toolkit's door: nothing is seen of it.
func (w *wheel) CreateRenderer() fyne.WidgetRenderer {
	return widget.NewSimpleRenderer(canvas.NewRectangle(color.Transparent))
}
