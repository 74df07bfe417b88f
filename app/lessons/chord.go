package lessons

import (
	"image"
	"math"

	"conewright/app/look"
	"conewright/geom/field"
	"conewright/i18n"
	"conewright/render/drawing"
	"conewright/render/lettering"
	"conewright/render/raster"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
	"gonum.org/v1/gonum/spatial/r2"
)

// The move that the lesson of chords draws, mm: on an outward cone of 45 degrees.
// chordTolerance is far over what a run takes, so that the pieces can be seen.
const (
	chordLong      = 20.0
	chordBeside    = 5.0
	chordTolerance = 0.15
	chordLetters   = 3.0 // of the drawing's words, mm of its paper
)

// chord is a straight move over a shell, seen from the side: heights over the ends
// along the move.
type chord struct {
	line  field.Line
	cone  field.Field
	a, b  r2.Vec
	cuts  []float64 // 0 to 1: where the pieces end
	depth float64   // of the straight move under its shell
}

func newChord() chord {
	c := chord{cone: field.NewCone(math.Pi/4, false, r2.Vec{}, 0),
		a: r2.Vec{X: -chordLong / 2, Y: chordBeside}, b: r2.Vec{X: chordLong / 2, Y: chordBeside}}
	c.line = c.cone.Along(c.a, c.b)
	c.depth, _ = c.line.Gap(0, 1)
	c.cuts = []float64{0}
	for t := 0.0; t < 1; {
		t = c.line.Reach(t, chordTolerance)
		c.cuts = append(c.cuts, min(t, 1))
	}
	return c
}

// height is how far the shell stands over its lowest end at a share of the move.
func (c *chord) height(t float64) float64 {
	p := r2.Add(c.a, r2.Scale(t, r2.Sub(c.b, c.a)))
	return c.cone.At(c.a) - c.cone.At(p)
}

// draw draws shell, straight move and pieces, with a line of words for each.
func (c *chord) draw(size r2.Vec) *drawing.Drawing {
	d := &drawing.Drawing{Size: size}
	const aside, over, words = 4.0, 5.0, chordLetters // mm of paper
	scale := (size.X - 2*aside) / chordLong
	at := func(t, z float64) r2.Vec {
		return r2.Vec{X: aside + t*chordLong*scale, Y: over + (c.depth-z)*scale}
	}
	const n = 60
	curve := make([]r2.Vec, n+1)
	for i := range curve {
		t := float64(i) / n
		curve[i] = at(t, c.height(t))
	}
	pieces := make([]r2.Vec, len(c.cuts))
	for i, t := range c.cuts {
		pieces[i] = at(t, c.height(t))
	}
	kinds := []struct {
		line drawing.Line
		key  string
	}{
		{drawing.Line{Pen: drawing.Shell, Points: curve}, "lesson.chordshell"},
		{drawing.Line{Pen: drawing.Hidden, Points: []r2.Vec{at(0, 0), at(1, 0)}}, "lesson.chordstraight"},
		{drawing.Line{Pen: drawing.Symbol, Tone: drawing.Accent, Points: pieces}, "lesson.chordpieces"},
	}
	y := at(0, 0).Y + 3
	for _, k := range kinds {
		d.Lines = append(d.Lines, k.line)
		y += words * 1.6
		sample := k.line
		sample.Points = []r2.Vec{{X: aside, Y: y - 1}, {X: aside + 9, Y: y - 1}}
		d.Lines = append(d.Lines, sample)
		room := size.X - 2*aside - 11
		d.Texts = append(d.Texts, drawing.Text{Role: drawing.Label, Size: words, At: r2.Vec{X: aside + 11, Y: y}, Words: lettering.Fit(i18n.T(k.key), words, room)})
	}
	for _, p := range pieces { // a tick where a piece ends
		d.Lines = append(d.Lines, drawing.Line{Pen: drawing.Symbol, Tone: drawing.Accent, Points: []r2.Vec{{X: p.X, Y: p.Y - 1.2}, {X: p.X, Y: p.Y + 1.2}}})
	}
	top, foot := at(0.5, c.depth), at(0.5, 0)
	d.Lines = append(d.Lines, drawing.Line{Pen: drawing.Dimension, Points: []r2.Vec{top, foot}})
	d.Texts = append(d.Texts, drawing.Text{Role: drawing.Measure, Size: words, Halo: true, At: r2.Vec{X: top.X + 1.2, Y: (top.Y+foot.Y)/2 + 1},
		Words: i18n.Number(c.depth, 1)})
	return d
}

// chordPicture shows the chord in the colours of the look.
type chordPicture struct {
	widget.BaseWidget
	chord  chord
	wall   bool // it and its letters grow with the texts round it
	raster *canvas.Raster
}

func newChordPicture() *chordPicture {
	p := &chordPicture{chord: newChord()}
	p.raster = canvas.NewRaster(p.picture)
	p.ExtendBaseWidget(p)
	return p
}

// paperUnits is how large a millimetre of paper is, in the toolkit's units; on a wall
// the picture's letters are as high as the texts round it.
const paperUnits = 3.4

func (p *chordPicture) unit() float32 {
	if !p.wall {
		return paperUnits
	}
	return max(paperUnits, theme.TextSize()/chordLetters)
}

// picture draws at once: a hundred lines.
func (p *chordPicture) picture(w, h int) image.Image {
	img := image.NewRGBA(image.Rect(0, 0, max(w, 1), max(h, 1)))
	size := p.Size()
	if size.Width < 1 || size.Height < 1 {
		return img
	}
	unit := p.unit()
	d := p.chord.draw(r2.Vec{X: float64(size.Width / unit), Y: float64(size.Height / unit)})
	raster.Draw(img, d, raster.Options{Scale: float64(w) / d.Size.X, Palette: look.Palette()})
	return img
}

// MinSize leaves room for the move and its words.
func (p *chordPicture) MinSize() fyne.Size {
	return fyne.NewSize(260*p.unit()/paperUnits, 170*p.unit()/paperUnits)
}

// Refresh draws anew, in the colours of the look.
func (p *chordPicture) Refresh() {
	p.raster.Refresh()
	p.BaseWidget.Refresh()
}

// CreateRenderer is the toolkit's door.
func (p *chordPicture) CreateRenderer() fyne.WidgetRenderer {
	return widget.NewSimpleRenderer(p.raster)
}
