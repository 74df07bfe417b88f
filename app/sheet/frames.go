package sheet

import (
	"context"
	"image"
	"image/draw"
	"time"

	"conewright/app/trace"
	"conewright/render"
	"conewright/render/drawing"
	"conewright/render/raster"
)

// buffers is how many pictures there are beside the one shown: one that is
// drawn into and one that waits to be shown.
const buffers = 2

// request is all that a frame is made of.
type request struct {
	number  int
	in      render.Input
	size    image.Point // pixels
	scale   float64     // pixels a mm of paper
	palette drawing.Palette
	why     string
	asked   time.Time
	usable  bool
}

// frame draws a request, off the event loop, and hands the picture over.
func (s *Sheet) frame(ctx context.Context, r request) {
	var img *image.RGBA
	select {
	case img = <-s.pool:
	case <-ctx.Done():
		return
	}
	if img.Rect.Size() != r.size {
		img = image.NewRGBA(image.Rectangle{Max: r.size})
	}
	var d *drawing.Drawing
	if r.in.Mesh == nil {
		draw.Draw(img, img.Rect, image.NewUniform(r.palette.Paper), image.Point{}, draw.Src)
	} else {
		d = s.drafter.Sheet(r.in)
		s.painter.Paint(img, d, raster.Options{Scale: r.scale, Palette: r.palette})
	}
	s.options.Post(func() { s.swap(img, d, r) })
}

// swap shows a finished picture; it runs on the event loop.
func (s *Sheet) swap(img *image.RGBA, d *drawing.Drawing, r request) {
	old := s.shown
	if old == nil {
		old = new(image.RGBA)
	}
	s.shown, s.drawn, s.seen = img, d, r.number
	s.pool <- old // never blocks: there are as many places as pictures
	s.raster.Refresh()
	segments := 0
	if d != nil {
		for i := range d.Lines {
			segments += len(d.Lines[i].Points) - 1
		}
	}
	s.options.Trace.Frame(r.asked, r.why, segments, r.in.Options.Coarse)
	if r.usable {
		s.options.Trace.Ready(s.traced)
	}
	s.moveOn()
	if o := &r.in.Options; (o.Coarse || o.Moving) && r.number == s.asked {
		time.AfterFunc(restAfter, func() { s.options.Post(func() { s.rest(r.number) }) })
	}
}

// restAfter is how long the pointer must stand still until the full picture is
// drawn though it still holds something.
const restAfter = 80 * time.Millisecond

// rest asks for the full picture where nothing came since a coarse frame.
func (s *Sheet) rest(number int) {
	if s.asked == number && s.drag.active {
		s.rested = true
		s.ask(trace.Other)
	}
}
