package window

import (
	"image"

	"conewright/app/look"
	"conewright/app/overlay"
	"conewright/geom/brought"
	"conewright/i18n"
	"conewright/render/raster"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"
	"gonum.org/v1/gonum/spatial/r2"
)

// fitPicture shows one height of a brought file over the mesh's section.
type fitPicture struct {
	widget.BaseWidget
	fit    *brought.Fit // nil: nothing is shown
	height int
	around r2.Box
	raster *canvas.Raster
}

func newFitPicture() *fitPicture {
	p := &fitPicture{}
	p.raster = canvas.NewRaster(p.picture)
	p.ExtendBaseWidget(p)
	return p
}

func (p *fitPicture) show(fit *brought.Fit, height int) {
	if fit != nil && fit != p.fit {
		p.around = overlay.Around(fit)
	}
	p.fit, p.height = fit, height
	p.raster.Refresh()
}

// picture draws at once: the lines of one layer, a few milliseconds.
func (p *fitPicture) picture(w, h int) image.Image {
	img := image.NewRGBA(image.Rect(0, 0, max(w, 1), max(h, 1)))
	size := p.Size()
	if p.fit == nil || p.height >= len(p.fit.Heights) || size.Width < 1 || size.Height < 1 {
		return img
	}
	d := overlay.Draw(&p.fit.Heights[p.height], p.around, overlay.Options{
		Size:    r2.Vec{X: float64(size.Width) / paperUnits, Y: float64(size.Height) / paperUnits},
		Section: i18n.T("fit.section"), Outline: i18n.T("fit.outline"), LeftOut: i18n.T("fit.leftout"),
	})
	raster.Draw(img, d, raster.Options{Scale: float64(w) / d.Size.X, Palette: look.Palette()})
	return img
}

// MinSize leaves room for words and lines.
func (p *fitPicture) MinSize() fyne.Size { return fyne.NewSize(280, 260) }

// Refresh draws anew, in the colours of the look.
func (p *fitPicture) Refresh() {
	p.raster.Refresh()
	p.BaseWidget.Refresh()
}

// CreateRenderer is the toolkit's door.
func (p *fitPicture) CreateRenderer() fyne.WidgetRenderer { return widget.NewSimpleRenderer(p.raster) }
