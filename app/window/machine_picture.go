package window

import (
	"image"

	"conewright/app/look"
	"conewright/geom/describe"
	"conewright/geom/machine"
	"conewright/i18n"
	"conewright/render/movement"
	"conewright/render/raster"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"
	"gonum.org/v1/gonum/spatial/r2"
)

// machinePicture sketches a card's machine, at rest or with an axis moved.
type machinePicture struct {
	widget.BaseWidget
	card   *machine.Card
	stress *describe.Move
	by     float64 // how far that axis is moved, words
	raster *canvas.Raster
}

func newMachinePicture() *machinePicture {
	p := &machinePicture{}
	p.raster = canvas.NewRaster(p.picture)
	p.ExtendBaseWidget(p)
	return p
}

// show draws a card that checks. The picture keeps it: it mustn't change later.
func (p *machinePicture) show(card *machine.Card) {
	p.card = card
	p.raster.Refresh()
}

// moved draws the machine with one axis moved.
func (p *machinePicture) moved(m describe.Move, by float64) {
	p.stress, p.by = &m, by
	p.raster.Refresh()
}

// rest draws the machine as it stands.
func (p *machinePicture) rest() {
	p.stress = nil
	p.raster.Refresh()
}

// picture draws at once: a few hundred lines, a few milliseconds.
func (p *machinePicture) picture(w, h int) image.Image {
	img := image.NewRGBA(image.Rect(0, 0, max(w, 1), max(h, 1)))
	size := p.Size()
	if p.card == nil || size.Width < 1 || size.Height < 1 {
		return img
	}
	words := describe.TestPlace(p.card)
	if p.stress != nil {
		words = describe.Moved(words, *p.stress, p.by)
	}
	d := movement.Draw(p.card, movement.Options{
		Size:  r2.Vec{X: float64(size.Width) / paperUnits, Y: float64(size.Height) / paperUnits},
		Words: words, Stress: p.stress, Front: i18n.T("describe.front"),
	})
	raster.Draw(img, d, raster.Options{Scale: float64(w) / d.Size.X, Palette: look.Palette()})
	return img
}

func (p *machinePicture) MinSize() fyne.Size { return fyne.NewSize(330, 420) }

func (p *machinePicture) Refresh() {
	p.raster.Refresh()
	p.BaseWidget.Refresh()
}

func (p *machinePicture) CreateRenderer() fyne.WidgetRenderer {
	return widget.NewSimpleRenderer(p.raster)
}
