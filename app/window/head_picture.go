package window

import (
	"image"

	"conewright/app/look"
	"conewright/geom/machine"
	"conewright/i18n"
	"conewright/render/head"
	"conewright/render/raster"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"
	"gonum.org/v1/gonum/spatial/r2"
)

// headPicture shows a card's head to scale.
type headPicture struct {
	widget.BaseWidget
	card   *machine.Card
	raster *canvas.Raster
}

func newHeadPicture() *headPicture {
	p := &headPicture{}
	p.raster = canvas.NewRaster(p.picture)
	p.ExtendBaseWidget(p)
	return p
}

// show draws a card. The picture keeps it: it mustn't change later.
func (p *headPicture) show(card *machine.Card) {
	p.card = card
	p.raster.Refresh()
}

// paperUnits is how large a millimetre of paper is, in the toolkit's units: so
// that the built-in heads are drawn in full size beside the form.
const paperUnits = 3.2

// picture draws at once: a head is a hundred lines, a few milliseconds.
func (p *headPicture) picture(w, h int) image.Image {
	img := image.NewRGBA(image.Rect(0, 0, max(w, 1), max(h, 1)))
	size := p.Size()
	if p.card == nil || size.Width < 1 || size.Height < 1 {
		return img
	}
	axis := ""
	if p.card.Swivel != nil {
		axis = i18n.T("head.axis", "letter", p.card.Swivel.Letter)
	}
	d := head.Draw(p.card, head.Options{
		Size: r2.Vec{X: float64(size.Width) / paperUnits, Y: float64(size.Height) / paperUnits},
		Side: i18n.T("head.side"), Above: i18n.T("head.above"), Axis: axis, Bed: i18n.T("head.bed"),
		Decimal: decimalSign(),
	})
	raster.Draw(img, d, raster.Options{Scale: float64(w) / d.Size.X, Palette: look.Palette()})
	return img
}

// decimalSign is that of the language.
func decimalSign() string { return i18n.Number(0.5, 1)[1:2] }

func (p *headPicture) MinSize() fyne.Size { return fyne.NewSize(330, 420) }

func (p *headPicture) Refresh() {
	p.raster.Refresh()
	p.BaseWidget.Refresh()
}

func (p *headPicture) CreateRenderer() fyne.WidgetRenderer {
	return widget.NewSimpleRenderer(p.raster)
}
