package window

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// panel is a framed ground in the theme's colours.
type panel struct {
	widget.BaseWidget
}

func newPanel() *panel {
	p := &panel{}
	p.ExtendBaseWidget(p)
	return p
}

func (p *panel) CreateRenderer() fyne.WidgetRenderer {
	r := &panelRenderer{p: p, rect: canvas.NewRectangle(nil)}
	r.rect.StrokeWidth = 1
	r.Refresh()
	return r
}

type panelRenderer struct {
	p    *panel
	rect *canvas.Rectangle
}

func (r *panelRenderer) Layout(size fyne.Size) { r.rect.Resize(size) }
func (r *panelRenderer) MinSize() fyne.Size    { return fyne.NewSize(0, 0) }
func (r *panelRenderer) Refresh() {
	th, v := r.p.Theme(), fyne.CurrentApp().Settings().ThemeVariant()
	r.rect.FillColor = th.Color(theme.ColorNameMenuBackground, v)
	r.rect.StrokeColor = th.Color(theme.ColorNamePlaceHolder, v)
	r.rect.Refresh()
}
func (r *panelRenderer) Objects() []fyne.CanvasObject { return []fyne.CanvasObject{r.rect} }
func (r *panelRenderer) Destroy()                     {}
