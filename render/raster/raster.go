// Package raster paints drawings into pixels: anti-aliased lines and words,
// quick enough for every frame of a drag.
//
// All lines of a tone go into one mask of coverage, where the greater value
// wins. So lines that meet or overlap don't darken each other, and colours are
// laid on once, at the end.
package raster

import (
	"image"
	"image/png"
	"io"
	"math"
	"runtime"
	"sync"

	"conewright/geom/parallel"
	"conewright/render/drawing"

	"golang.org/x/image/font/sfnt"
)

// Options tell how a drawing becomes pixels.
type Options struct {
	Scale   float64         // pixels a millimetre; 0: 96 pixels an inch
	Palette drawing.Palette // zero: drawing.Light
	// Fonts are asked in turn for each letter; the built-in font comes last.
	Fonts []*sfnt.Font
}

const screenScale = 96 / 25.4

func (o Options) filled() Options {
	if !(o.Scale > 0) {
		o.Scale = screenScale
	}
	if o.Palette == (drawing.Palette{}) {
		o.Palette = drawing.Light
	}
	return o
}

// Painter paints and keeps its store from one picture to the next. The zero
// value is ready. It must not be used by two goroutines at once.
type Painter struct {
	width, height int
	ink, accent   []uint8 // coverage of each pixel
	under, over   []segment
	erasures      []erasure
	words         []placedWord
	letters       wordCache
}

var painters = sync.Pool{New: func() any { return new(Painter) }}

// Draw fills dst with d by a painter that is kept for the next picture. Many
// goroutines may call it at once.
func Draw(dst *image.RGBA, d *drawing.Drawing, o Options) {
	p := painters.Get().(*Painter)
	p.Paint(dst, d, o)
	painters.Put(p)
}

// Paint fills dst with d, whose upper left corner comes to lie on that of dst.
func (p *Painter) Paint(dst *image.RGBA, d *drawing.Drawing, o Options) {
	o = o.filled()
	p.resize(dst.Rect.Dx(), dst.Rect.Dy())
	p.prepare(d, o)
	const least = 64 // rows a band: each band goes through all lines
	size := max(least, (p.height+runtime.GOMAXPROCS(0)-1)/runtime.GOMAXPROCS(0))
	parallel.Spans(p.height, size, func(_, y0, y1 int) { p.band(dst, o, y0, y1) })
}

func (p *Painter) resize(w, h int) {
	p.width, p.height = w, h
	if n := w * h; n > cap(p.ink) {
		p.ink, p.accent = make([]uint8, n), make([]uint8, n)
	} else {
		p.ink, p.accent = p.ink[:n], p.accent[:n]
	}
}

// band paints the rows from y0 to y1, independent of all others.
func (p *Painter) band(dst *image.RGBA, o Options, y0, y1 int) {
	clear(p.ink[y0*p.width : y1*p.width])
	clear(p.accent[y0*p.width : y1*p.width])
	for i := range p.under {
		p.draw(&p.under[i], y0, y1)
	}
	for i := range p.erasures {
		p.erase(&p.erasures[i], y0, y1)
	}
	for i := range p.over {
		p.draw(&p.over[i], y0, y1)
	}
	for i := range p.words {
		p.letter(&p.words[i], y0, y1)
	}
	p.colour(dst, &o.Palette, y0, y1)
}

// mask returns the coverage that a tone goes into.
func (p *Painter) mask(accent bool) []uint8 {
	if accent {
		return p.accent
	}
	return p.ink
}

// Image returns d as a picture of its own size.
func Image(d *drawing.Drawing, o Options) *image.RGBA {
	o = o.filled()
	w := int(math.Round(d.Size.X * o.Scale))
	h := int(math.Round(d.Size.Y * o.Scale))
	dst := image.NewRGBA(image.Rect(0, 0, max(w, 1), max(h, 1)))
	Draw(dst, d, o)
	return dst
}

// PNG writes d as a PNG picture. The only errors are those of w.
func PNG(w io.Writer, d *drawing.Drawing, o Options) error {
	return png.Encode(w, Image(d, o))
}
