package lessons

import (
	"strings"

	"conewright/render/drawing"
	"conewright/render/lettering"

	"gonum.org/v1/gonum/spatial/r2"
)

// page is a page of a handout in the making: words from above to below, drawings
// between them. Lengths are mm.
type page struct {
	*drawing.Drawing
	left, right float64 // where words begin and end
	y           float64 // how far it is written
}

// Letters of handouts read well at arm's length.
const (
	letters      = 4.2
	titleLetters = 6.5
	smallLetters = 3.6
	lineStep     = 1.4 // of the letters
)

func newPage(width, height, left, right, top float64) *page {
	return &page{&drawing.Drawing{Size: r2.Vec{X: width, Y: height}}, left, width - right, top}
}

// put writes words at a place.
func (p *page) put(x, y, size float64, words string) {
	p.Texts = append(p.Texts, drawing.Text{Role: drawing.Value, At: r2.Vec{X: x, Y: y}, Size: size, Words: words})
}

// line writes one line of words.
func (p *page) line(size float64, words string) {
	p.y += size * lineStep
	p.put(p.left, p.y, size, words)
}

// paragraph writes words that wrap, indented by in.
func (p *page) paragraph(size, in float64, words string) {
	for _, line := range wrap(words, size, p.right-p.left-in) {
		p.y += size * lineStep
		p.put(p.left+in, p.y, size, line)
	}
	p.y += size * 0.5
}

// height is what a paragraph takes.
func (p *page) height(size, in float64, words string) float64 {
	return (float64(len(wrap(words, size, p.right-p.left-in)))*lineStep + 0.5) * size
}

// rule draws a line to write on.
func (p *page) rule(from, to, y float64) {
	p.Lines = append(p.Lines, drawing.Line{Pen: drawing.Rule, Points: []r2.Vec{{X: from, Y: y}, {X: to, Y: y}}})
}

// square draws a box to tick, its lower left corner at a place.
func (p *page) square(x, y, size float64) {
	p.Lines = append(p.Lines, drawing.Line{Pen: drawing.Symbol, Closed: true,
		Points: []r2.Vec{{X: x, Y: y}, {X: x + size, Y: y}, {X: x + size, Y: y - size}, {X: x, Y: y - size}}})
}

// place lays a drawing on the page, its upper left corner at a place.
func (p *page) place(d *drawing.Drawing, at r2.Vec) {
	for _, l := range d.Lines {
		points := make([]r2.Vec, len(l.Points))
		for i, q := range l.Points {
			points[i] = r2.Add(q, at)
		}
		l.Points = points
		p.Lines = append(p.Lines, l)
	}
	for _, t := range d.Texts {
		t.At = r2.Add(t.At, at)
		p.Texts = append(p.Texts, t)
	}
	for _, m := range d.Marks {
		m.At = r2.Add(m.At, at)
		p.Marks = append(p.Marks, m)
	}
}

// wrap breaks words into lines that run no further than room. Where a language
// sets no blanks, it breaks anywhere.
func wrap(words string, size, room float64) []string {
	var lines []string
	line := ""
	add := func(piece string) {
		if line != "" && lettering.Width(strings.TrimSpace(line+piece), size) > room {
			lines = append(lines, strings.TrimSpace(line))
			line = ""
		}
		line += piece
	}
	for _, w := range strings.SplitAfter(words, " ") {
		if lettering.Width(w, size) <= room {
			add(w)
			continue
		}
		for _, r := range w {
			add(string(r))
		}
	}
	return append(lines, strings.TrimSpace(line))
}
