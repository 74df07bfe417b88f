package render

import (
	"fmt"

	"conewright/render/drawing"
	"conewright/render/lettering"

	"gonum.org/v1/gonum/spatial/r2"
)

// Size of the title block, mm of paper.
const (
	leastBlock  = 96.
	mostBlock   = 150.
	blockShare  = 0.42 // of the sheet's width, between those
	blockHeight = 26.
	leastValue  = 2.6 // height of the em of its values
)

// furniture draws frame, title block, key and scale bar.
func (s *sketch) furniture(m *model, l *layout) {
	if s.in.Options.Only != drawing.Pictorial {
		s.scaleBar(l)
	}
	if s.in.Options.NoFrame {
		return
	}
	s.drawKey(m, l)
	s.box(drawing.Frame, l.frame)
	s.box(drawing.Frame, l.block)
	s.cells(l)
}

func (s *sketch) box(pen drawing.Pen, r drawing.Rect) {
	s.loop(style{pen: pen}, r.Min, r2.Vec{X: r.Max.X, Y: r.Min.Y}, r.Max, r2.Vec{X: r.Min.X, Y: r.Max.Y})
}

// cell is a field of the title block: its place in shares of the block and
// rows, its words.
type cell struct {
	from, to     float64
	row          int
	label, value string
}

const (
	blockRows   = 3
	firstColumn = 0.5
	midColumn   = 0.76
)

// cells draws the fields (ISO 7200: title, number and count of sheets,
// department and creator, here what made it; no date, so that the same job
// gives the same bytes).
func (s *sketch) cells(l *layout) {
	t, f := s.in.Texts, s.in.Fields
	scale := scaleWords(l.elevation.Scale, t.Decimal)
	if s.in.Options.Only == drawing.Pictorial { // no length is true in it
		scale = "–"
	}
	for _, c := range []cell{
		{0, firstColumn, 0, t.Title, f.Title},
		{firstColumn, 1, 0, t.Machine, f.Machine},
		{0, firstColumn, 1, t.Zones, f.Zones},
		{firstColumn, midColumn, 1, t.Shell, f.Shell},
		{midColumn, 1, 1, t.Scale, scale},
		{0, firstColumn, 2, t.MadeWith, t.Program},
		{firstColumn, midColumn, 2, t.Overhang, f.Overhang},
		{midColumn, 1, 2, t.Page, fmt.Sprintf("%d %s %d", max(f.Sheet, 1), t.Of, max(f.Sheets, 1))},
	} {
		s.cell(l, c)
	}
	b := l.block
	x := func(share float64) float64 { return b.Min.X + share*b.Width() }
	y := func(row int) float64 { return b.Min.Y + float64(row)*b.Height()/blockRows }
	rule := style{pen: drawing.Rule}
	s.line(rule, r2.Vec{X: b.Min.X, Y: y(1)}, r2.Vec{X: b.Max.X, Y: y(1)})
	s.line(rule, r2.Vec{X: b.Min.X, Y: y(2)}, r2.Vec{X: b.Max.X, Y: y(2)})
	s.line(rule, r2.Vec{X: x(firstColumn), Y: b.Min.Y}, r2.Vec{X: x(firstColumn), Y: b.Max.Y})
	s.line(rule, r2.Vec{X: x(midColumn), Y: y(1)}, r2.Vec{X: x(midColumn), Y: b.Max.Y})
	s.firstAngle(r2.Vec{X: b.Max.X - 11, Y: b.Min.Y + b.Height()/blockRows/2})
}

func (s *sketch) cell(l *layout, c cell) {
	b, height := l.block, l.block.Height()/blockRows
	at := r2.Vec{X: b.Min.X + c.from*b.Width() + 1.8, Y: b.Min.Y + float64(c.row)*height}
	room := (c.to-c.from)*b.Width() - 3.6
	if c.row == 0 && c.from > 0 {
		room -= 20.5 // the projection symbol
	}
	const small = 2.4
	s.text(drawing.Text{Role: drawing.Label, Tone: drawing.Faint, Size: small,
		At: r2.Vec{X: at.X, Y: at.Y + 0.34*height}, Words: lettering.Fit(c.label, small, room)})
	size := valueSize // longer words are smaller before they are cut off
	if width := lettering.Width(c.value, valueSize); width > room {
		size = max(valueSize*room/width*0.999, leastValue)
	}
	s.text(drawing.Text{Role: drawing.Value, Size: size,
		At: r2.Vec{X: at.X, Y: at.Y + 0.84*height}, Words: lettering.Fit(c.value, size, room)})
}

// firstAngle draws the symbol of first-angle projection: a truncated cone from
// the side, then from its small end (ISO 5456-2, from memory).
func (s *sketch) firstAngle(at r2.Vec) {
	const long, big, small = 5.2, 2.5, 1.25 // length and radii
	left, right := at.X-8, at.X-8+long
	st := style{pen: drawing.Symbol}
	s.loop(st, r2.Vec{X: left, Y: at.Y - small}, r2.Vec{X: right, Y: at.Y - big}, r2.Vec{X: right, Y: at.Y + big}, r2.Vec{X: left, Y: at.Y + small})
	eye := r2.Vec{X: at.X + 3.6, Y: at.Y}
	for _, r := range [2]float64{big, small} {
		s.loop(st, circle(eye, r)...)
	}
	thin := style{pen: drawing.Dimension}
	s.line(thin, r2.Vec{X: left - 1.2, Y: at.Y}, r2.Vec{X: right + 1.2, Y: at.Y})
	s.line(thin, r2.Vec{X: eye.X - big - 1.2, Y: at.Y}, r2.Vec{X: eye.X + big + 1.2, Y: at.Y})
	s.line(thin, r2.Vec{X: eye.X, Y: at.Y - big - 1.2}, r2.Vec{X: eye.X, Y: at.Y + big + 1.2})
}

// scaleBarWords is what the words beside the scale bar take, mm of paper.
const scaleBarWords = 13.

// scaleBar returns the length that the scale bar shows, mm, and where it begins
// on paper: in the sheet's lower left corner.
func (l *layout) scaleBar() (length float64, at r2.Vec) {
	const least = 22. // mm of paper
	length = round125(least / l.elevation.Scale)
	at = r2.Vec{X: l.frame.Min.X + gutter, Y: l.frame.Max.Y - 3.5}
	for range 3 { // on a small sheet, the next shorter length that ends before the title block
		if at.X+length*l.elevation.Scale+scaleBarWords <= l.block.Min.X {
			break
		}
		length = round125(0.4 * length)
	}
	return length, at
}

// afterScaleBar returns where the scale bar and its words end at any zoom.
func (l *layout) afterScaleBar() float64 {
	const most = 2.5 * 22. // the longest that round125 makes of the least
	return l.frame.Min.X + gutter + most + scaleBarWords
}

// scaleBar draws a length of the elevation's scale.
func (s *sketch) scaleBar(l *layout) {
	length, at := l.scaleBar()
	run := length * l.elevation.Scale
	st := style{pen: drawing.Dimension}
	const parts = 5
	for i := range parts + 1 {
		x, tick := at.X+run*float64(i)/parts, 1.2
		if i == 0 || i == parts {
			tick = 2
		}
		s.line(st, r2.Vec{X: x, Y: at.Y}, r2.Vec{X: x, Y: at.Y - tick})
	}
	s.line(st, at, r2.Vec{X: at.X + run, Y: at.Y})
	s.line(style{pen: drawing.Frame}, at, r2.Vec{X: at.X + run/parts, Y: at.Y})
	s.text(drawing.Text{Role: drawing.Label, Tone: drawing.Faint, Size: labelSize,
		At: r2.Vec{X: at.X + run + 1.5, Y: at.Y}, Words: number(length, digitsOf(length), s.in.Texts.Decimal) + " mm"})
}

func digitsOf(length float64) int {
	digits := 0
	for v := length; v < 0.999 && digits < 4; v *= 10 {
		digits++
	}
	return digits
}
