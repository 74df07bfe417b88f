package window

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// bar shows how far something is: a framed strip, filled from the left.
type bar struct {
	widget.BaseWidget
	done float64
}

func newBar() *bar {
	b := &bar{}
	b.ExtendBaseWidget(b)
	return b
}

// show sets how much is done, 0..1.
func (b *bar) show(done float64) {
	if done = min(max(done, 0), 1); done != b.done {
		b.done = done
		b.Refresh()
	}
}

func (b *bar) CreateRenderer() fyne.WidgetRenderer {
	r := &barRenderer{b: b, frame: canvas.NewRectangle(nil), fill: canvas.NewRectangle(nil)}
	r.frame.StrokeWidth = 1
	r.Refresh()
	return r
}

type barRenderer struct {
	b           *bar
	frame, fill *canvas.Rectangle
}

func (r *barRenderer) MinSize() fyne.Size { return fyne.NewSize(160, 10) }
func (r *barRenderer) Layout(size fyne.Size) {
	r.frame.Resize(size)
	r.fill.Resize(fyne.NewSize(size.Width*float32(r.b.done), size.Height))
}
func (r *barRenderer) Refresh() {
	th, v := r.b.Theme(), fyne.CurrentApp().Settings().ThemeVariant()
	r.frame.FillColor = th.Color(theme.ColorNameInputBackground, v)
	r.frame.StrokeColor = th.Color(theme.ColorNamePlaceHolder, v)
	r.fill.FillColor = th.Color(theme.ColorNameForeground, v)
	r.Layout(r.b.Size())
	canvas.Refresh(r.b)
}
func (r *barRenderer) Objects() []fyne.CanvasObject { return []fyne.CanvasObject{r.frame, r.fill} }
func (r *barRenderer) Destroy()                     {}
