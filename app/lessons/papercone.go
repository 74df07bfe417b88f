package lessons

import (
	"math"
	"slices"

	"conewright/i18n"
	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
)

// Measures of the paper cone, mm.
const (
	coneSlant  = 78.0  // from apex to rim: what a page of A4 holds
	coneRing   = 13.0  // between lines as beads run, along the slope
	tabWidth   = 9.0   // of the strip that is glued under the other edge
	tabFrom    = 26.0  // from the apex: nearer to it the strip would lie over the other edge
	checkRule  = 100.0 // the line that shows whether the page was printed at 1:1
	arcStep    = 2.0   // degrees between points of a drawn arc
	glueStroke = 4.0   // between hatch lines of the strip
	frameInset = 5.0   // of words from the frame
)

// Angles between which a paper cone is worth making, degrees: flatter, its strip has no
// room; steeper, it is a needle.
const (
	leastPaperAngle = 20.0
	mostPaperAngle  = 70.0
)

// PaperCone returns a page of A4 with a cone-shaped shell of an angle in degrees, and
// the same unrolled with lines to cut, to fold and to glue, at 1:1. An angle beyond what
// can be made of paper is taken as the nearest that can.
func PaperCone(angle float64) ([]byte, error) {
	return document(i18n.T("papercone.title"), []*drawing.Drawing{paperCone(angle)})
}

func paperCone(angle float64) *drawing.Drawing {
	angle = min(max(angle, leastPaperAngle), mostPaperAngle)
	p := newPage(paperShort, paperLong, leftMargin+frameInset, margin+frameInset, margin+frameInset)
	p.loop(drawing.Frame, r2.Vec{X: leftMargin, Y: margin}, r2.Vec{X: paperShort - margin, Y: margin},
		r2.Vec{X: paperShort - margin, Y: paperLong - margin}, r2.Vec{X: leftMargin, Y: paperLong - margin})
	p.line(titleLetters, i18n.T("papercone.title")+", "+degreesText(angle))
	p.y += 1
	p.paragraph(smallLetters, 0, i18n.T("papercone.how"))
	apex := r2.Vec{X: (p.left + p.right) / 2, Y: p.y + 2 + coneSlant}
	p.unrolled(apex, angle)
	p.fromTheSide(angle)
	y := paperLong - margin - frameInset
	p.stroke(drawing.Dimension, r2.Vec{X: p.left, Y: y}, r2.Vec{X: p.left + checkRule, Y: y})
	for _, x := range []float64{p.left, p.left + checkRule} {
		p.stroke(drawing.Dimension, r2.Vec{X: x, Y: y - 2}, r2.Vec{X: x, Y: y + 2})
	}
	p.put(p.left, y-4, smallLetters, i18n.T("papercone.check", "length", i18n.Number(checkRule, 0)))
	return p.Drawing
}

// unrolled draws the shell laid flat. Its rim is as long as the cone's: 2 pi L cos(angle)
// at the slant L, so it takes 2 pi cos(angle) of a turn about the apex.
func (p *page) unrolled(apex r2.Vec, angle float64) {
	turn := 360 * math.Cos(angle*math.Pi/180)
	from := 90 - turn/2 // degrees, counter-clockwise from the right; the gap lies below
	at := func(radius, degrees float64) r2.Vec {
		sin, cos := math.Sincos(degrees * math.Pi / 180)
		return r2.Vec{X: apex.X + radius*cos, Y: apex.Y - radius*sin}
	}
	arc := func(radius float64) []r2.Vec {
		n := max(int(math.Ceil(turn/arcStep)), 1)
		points := make([]r2.Vec, n+1)
		for i := range points {
			points[i] = at(radius, from+turn*float64(i)/float64(n))
		}
		return points
	}
	for r := coneRing; r < coneSlant-1; r += coneRing {
		p.stroke(drawing.Shell, arc(r)...)
	}
	// The strip stands out over the first edge, into the gap.
	edge, out := at(1, from), at(1, from-90)
	along, aside := r2.Sub(edge, apex), r2.Sub(out, apex)
	place := func(l, w float64) r2.Vec { return r2.Add(apex, r2.Add(r2.Scale(l, along), r2.Scale(w, aside))) }
	rim := arc(coneSlant)
	slices.Reverse(rim) // the edge under the strip isn't cut
	p.stroke(drawing.Visible, append(append([]r2.Vec{place(tabFrom, 0), apex}, rim...), place(coneSlant-1, 0))...)
	p.stroke(drawing.Visible, place(tabFrom, 0), place(tabFrom+tabWidth/2, tabWidth), place(coneSlant-tabWidth, tabWidth), place(coneSlant-1, 0))
	p.stroke(drawing.Hidden, place(tabFrom, 0), place(coneSlant-1, 0))
	for l := tabFrom + tabWidth; l < coneSlant-1.5*tabWidth; l += glueStroke {
		p.stroke(drawing.Hatch, place(l, 1), place(l+tabWidth-2, tabWidth-1))
	}
}

// fromTheSide draws the cone as it stands when it is glued.
func (p *page) fromTheSide(angle float64) {
	sin, cos := math.Sincos(angle * math.Pi / 180)
	foot := paperLong - margin - frameInset - 18
	middle, radius, high := (p.left+p.right)/2, coneSlant*cos, coneSlant*sin
	top := r2.Vec{X: middle, Y: foot - high}
	p.loop(drawing.Visible, r2.Vec{X: middle - radius, Y: foot}, top, r2.Vec{X: middle + radius, Y: foot})
	p.stroke(drawing.Axis, r2.Vec{X: middle, Y: top.Y - 4}, r2.Vec{X: middle, Y: foot + 4})
	for l := coneRing; l < coneSlant-1; l += coneRing {
		p.stroke(drawing.Shell, r2.Vec{X: middle - l*cos, Y: top.Y + l*sin}, r2.Vec{X: middle + l*cos, Y: top.Y + l*sin})
	}
	p.put(middle-radius+12*cos, foot-2, smallLetters, degreesText(angle))
}

// stroke draws a line with a pen.
func (p *page) stroke(pen drawing.Pen, points ...r2.Vec) {
	p.Lines = append(p.Lines, drawing.Line{Pen: pen, Points: points})
}

// loop draws a closed line with a pen.
func (p *page) loop(pen drawing.Pen, points ...r2.Vec) {
	p.Lines = append(p.Lines, drawing.Line{Pen: pen, Closed: true, Points: points})
}

// degreesText writes an angle without trailing zeros.
func degreesText(angle float64) string {
	decimals := 1
	if math.Abs(angle-math.Round(angle)) < 0.05 {
		decimals = 0
	}
	return i18n.Number(angle, decimals) + "°"
}
