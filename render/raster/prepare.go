package raster

import (
	"math"

	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
)

// prepare turns a drawing into segments, erasures and words in pixels.
func (p *Painter) prepare(d *drawing.Drawing, o Options) {
	p.under, p.over = p.under[:0], p.over[:0]
	p.erasures, p.words = p.erasures[:0], p.words[:0]
	faint := faintShare(&o.Palette)
	perMM := max(o.Scale, thinnest/drawing.Shell.Width()) // all widths grow alike, so that thick stays twice thin
	style := func(width float64, t drawing.Tone) stroke {
		least := thinnest
		if t != drawing.Ink {
			least = thinnestPale
		}
		s := stroke{half: float32(max(width*perMM, least) / 2), strength: 1, accent: t == drawing.Accent}
		if t == drawing.Faint {
			s.strength = faint
		}
		return s
	}
	for i := range d.Lines {
		l := &d.Lines[i]
		if len(l.Points) > 1 {
			p.under = appendLine(p.under, l.Points, l.Closed, l.Pen.Dashes(), o.Scale, style(l.Width(), l.Tone))
		}
	}
	for i := range d.Marks {
		m := &d.Marks[i]
		s := style(drawing.Symbol.Width(), m.Tone)
		p.erasures = append(p.erasures, circleErasure(m.At, m.Radius, o.Scale))
		p.over = appendLine(p.over, circle(m.At, m.Radius), true, nil, o.Scale, s)
		for _, line := range m.Strokes() {
			p.over = appendLine(p.over, line, false, nil, o.Scale, s)
		}
	}
	for i := range d.Texts {
		p.place(&d.Texts[i], o, faint)
	}
}

// The least widths of lines, pixels. A thinner one that lies between two rows of
// pixels fades below the contrast of 3:1 that WCAG 2.2 (1.4.11) asks of graphics; in
// tones paler than ink a wider one does (TestPensStandOutFromThePaper in app/look).
const (
	thinnest     = 1.0
	thinnestPale = 1.36
)

// faintShare returns how strongly ink covers paper to look like the palette's
// faint tone.
func faintShare(p *drawing.Palette) float32 {
	full := float32(p.Paper.G) - float32(p.Ink.G)
	if full == 0 {
		return 1
	}
	return max(0, min((float32(p.Paper.G)-float32(p.Faint.G))/full, 1))
}

func circle(at r2.Vec, radius float64) []r2.Vec {
	const n = 32
	points := make([]r2.Vec, n)
	for i := range points {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / n)
		points[i] = r2.Vec{X: at.X + radius*cos, Y: at.Y + radius*sin}
	}
	return points
}

// nearby is the distance, pixels, under which a polyline's next point is left
// out.
const nearby = 0.35

// appendLine adds the segments of a polyline, dashed where dashes (mm) isn't
// nil.
func appendLine(to []segment, points []r2.Vec, closed bool, dashes []float64, scale float64, s stroke) []segment {
	pen := dasher{to: to, stroke: s, dashes: dashes, scale: scale}
	n := len(points)
	if closed {
		n++
	}
	run := straight{from: points[0], to: points[0]}
	for i := 1; i < n; i++ {
		next := points[i%len(points)]
		if i < n-1 && math.Abs(next.X-run.to.X)+math.Abs(next.Y-run.to.Y) < nearby/scale {
			continue
		}
		if !run.take(next, strayed/scale) {
			pen.line(run.from, run.to)
			run = straight{from: run.to, to: run.to}
			run.take(next, strayed/scale)
		}
	}
	pen.line(run.from, run.to)
	return pen.to
}

// dasher cuts a polyline into dashes as it runs.
type dasher struct {
	to     []segment
	stroke stroke
	dashes []float64
	scale  float64
	index  int     // of the dash or gap under way
	done   float64 // of it, mm
}

func (d *dasher) line(a, b r2.Vec) {
	if !(math.Abs(a.X)+math.Abs(a.Y)+math.Abs(b.X)+math.Abs(b.Y) < farthest) {
		return
	}
	if d.dashes == nil {
		d.add(a, b)
		return
	}
	length := math.Hypot(b.X-a.X, b.Y-a.Y)
	at := 0.0
	for at < length {
		next := min(at+d.dashes[d.index]-d.done, length)
		if d.index%2 == 0 {
			d.add(r2.Add(a, r2.Scale(at/length, r2.Sub(b, a))), r2.Add(a, r2.Scale(next/length, r2.Sub(b, a))))
		}
		d.done += next - at
		if d.done >= d.dashes[d.index]-1e-9 {
			d.index, d.done = (d.index+1)%len(d.dashes), 0
		}
		at = next
	}
}

// farthest bounds coordinates on paper, mm: what lies beyond is no drawing,
// and dashing it would take for ever. It leaves out NaN too.
const farthest = 1e5

func (d *dasher) add(a, b r2.Vec) {
	s := float32(d.scale)
	d.to = append(d.to, segment{
		x0: float32(a.X) * s, y0: float32(a.Y) * s,
		x1: float32(b.X) * s, y1: float32(b.Y) * s,
		stroke: d.stroke,
	})
}
