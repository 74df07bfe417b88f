// Package chart draws curves for the run log with the pens of the sheet.
package chart

import (
	"fmt"
	"math"
	"strconv"

	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
)

// Curve is a quantity over another.
type Curve struct {
	Title  string
	X, Y   string       // what the axes tell, with units
	Points [][2]float64 // x ascending
	Limit  float64      // drawn dashed across; 0: none
}

// Size is that of a chart on paper, mm: as wide as the sheet's picture in the
// log's page, and low, since several stand under one another.
var Size = r2.Vec{X: 220, Y: 46}

// Places on a chart, mm of paper.
const (
	left, right   = 16, 6 // room for the figures of the axis and for half of the last one
	top, bottom   = 4, 11 // the same
	letters       = 3.2   // height of figures and words
	figureGap     = 1     // between an axis and its figures
	mostFigures   = 10    // along x
	mostLevels    = 4     // along y
	limitHeadroom = 1.05  // of the limit, so that its line stays inside
)

// Draw draws a curve. It fails where there is nothing to draw.
func Draw(c *Curve) (*drawing.Drawing, error) {
	p := paper{x: scale{from: left, to: Size.X - right, low: math.Inf(1), high: math.Inf(-1)},
		y: scale{from: Size.Y - bottom, to: top, high: math.Inf(-1)}}
	for _, q := range c.Points {
		if math.IsNaN(q[0]+q[1]) || math.IsInf(q[0]+q[1], 0) {
			return nil, fmt.Errorf("chart %q: a point is no number", c.Title)
		}
		p.x.take(q[0])
		p.y.take(q[1])
	}
	if len(c.Points) == 0 {
		return nil, fmt.Errorf("chart %q: no points", c.Title)
	}
	if c.Limit != 0 {
		p.y.take(limitHeadroom * c.Limit)
	}
	p.d.Size = Size
	p.axes(c)
	p.curve(c)
	return &p.d, nil
}

// scale brings values onto paper.
type scale struct {
	from, to  float64 // mm of paper, of low and high
	low, high float64
}

func (s *scale) take(v float64) { s.low, s.high = math.Min(s.low, v), math.Max(s.high, v) }

func (s *scale) at(v float64) float64 {
	if s.high == s.low {
		return s.from
	}
	return s.from + (s.to-s.from)*(v-s.low)/(s.high-s.low)
}

// paper is a chart being drawn.
type paper struct {
	d    drawing.Drawing
	x, y scale
}

func (p *paper) line(pen drawing.Pen, tone drawing.Tone, points ...r2.Vec) {
	p.d.Lines = append(p.d.Lines, drawing.Line{Pen: pen, Tone: tone, Points: points})
}

func (p *paper) words(text string, at r2.Vec, anchor drawing.Anchor, turned bool) {
	p.d.Texts = append(p.d.Texts, drawing.Text{At: at, Size: letters, Anchor: anchor, Turned: turned, Words: text})
}

func (p *paper) axes(c *Curve) {
	base := p.y.from
	for _, v := range ticks(p.x.low, p.x.high, mostFigures) {
		x := p.x.at(v)
		p.line(drawing.Rule, drawing.Faint, r2.Vec{X: x, Y: base}, r2.Vec{X: x, Y: p.y.to})
		p.words(figure(v), r2.Vec{X: x, Y: base + figureGap + letters}, drawing.Middle, false)
	}
	for _, v := range ticks(p.y.low, p.y.high, mostLevels) {
		y := p.y.at(v)
		p.line(drawing.Rule, drawing.Faint, r2.Vec{X: p.x.from, Y: y}, r2.Vec{X: p.x.to, Y: y})
		p.words(figure(v), r2.Vec{X: p.x.from - figureGap, Y: y + letters/3}, drawing.End, false)
	}
	p.line(drawing.Frame, drawing.Ink, r2.Vec{X: p.x.from, Y: p.y.to}, r2.Vec{X: p.x.from, Y: base}, r2.Vec{X: p.x.to, Y: base})
	p.words(c.X, r2.Vec{X: (p.x.from + p.x.to) / 2, Y: Size.Y - 1}, drawing.Middle, false)
	p.words(c.Y, r2.Vec{X: letters, Y: (p.y.from + p.y.to) / 2}, drawing.Middle, true)
}

func (p *paper) curve(c *Curve) {
	points := make([]r2.Vec, len(c.Points))
	for i, q := range c.Points {
		points[i] = r2.Vec{X: p.x.at(q[0]), Y: p.y.at(q[1])}
	}
	p.line(drawing.Visible, drawing.Ink, points...)
	if c.Limit != 0 {
		y := p.y.at(c.Limit)
		p.line(drawing.Hidden, drawing.Ink, r2.Vec{X: p.x.from, Y: y}, r2.Vec{X: p.x.to, Y: y})
	}
}

// ticks returns about most round values from low to high: steps of 1, 2 or 5
// times a power of ten.
func ticks(low, high, most float64) []float64 {
	if !(high > low) {
		return []float64{low}
	}
	unit := math.Pow(10, math.Floor(math.Log10((high-low)/most)))
	step := unit
	for _, k := range []float64{2, 5, 10} {
		if (high-low)/step > most {
			step = k * unit
		}
	}
	var all []float64
	for i := math.Ceil(low / step); i*step <= high; i++ {
		all = append(all, i*step+0) // + 0: no minus zero
	}
	return all
}

func figure(v float64) string { return strconv.FormatFloat(v, 'g', 4, 64) }
