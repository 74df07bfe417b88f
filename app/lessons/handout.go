package lessons

import (
	"bytes"
	"strings"

	"conewright/render"
	"conewright/render/drawing"
	"conewright/render/lettering"
	"conewright/render/output"

	"gonum.org/v1/gonum/spatial/r2"
)

// Handout is a sheet for a class, with or without a text over it.
type Handout struct {
	Input render.Input
	Title string
	Text  []string // paragraphs
}

// Measures of a handout, mm: A4 lying, and letters that read well at arm's
// length.
const (
	paperWidth, paperHeight = 297.0, 210.0
	margin                  = 12.0
	letters                 = 4.2
	titleLetters            = 6.5
	lineStep                = 1.4 // of the letters
)

// PDF returns the handout as a document of one page of A4.
func (h Handout) PDF() ([]byte, error) {
	d := h.drawing()
	var b bytes.Buffer
	if err := output.PDF(&b, d, output.Options{Title: h.Title}); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// drawing lays the text over a sheet that has the rest of the page.
func (h Handout) drawing() *drawing.Drawing {
	texts, used := h.texts()
	in := h.Input
	in.Options.Size = r2.Vec{X: paperWidth, Y: paperHeight - used}
	d := render.Sheet(in)
	out := &drawing.Drawing{Size: r2.Vec{X: paperWidth, Y: paperHeight}, Texts: texts}
	down := r2.Vec{Y: used}
	for _, l := range d.Lines {
		points := make([]r2.Vec, len(l.Points))
		for i, p := range l.Points {
			points[i] = r2.Add(p, down)
		}
		l.Points = points
		out.Lines = append(out.Lines, l)
	}
	for _, t := range d.Texts {
		t.At = r2.Add(t.At, down)
		out.Texts = append(out.Texts, t)
	}
	for _, m := range d.Marks {
		m.At = r2.Add(m.At, down)
		out.Marks = append(out.Marks, m)
	}
	return out
}

// texts sets title and paragraphs, and returns how much of the page they take.
func (h Handout) texts() ([]drawing.Text, float64) {
	if h.Title == "" && len(h.Text) == 0 {
		return nil, 0
	}
	y := margin + titleLetters
	out := []drawing.Text{{Role: drawing.Value, At: r2.Vec{X: margin, Y: y}, Size: titleLetters, Words: h.Title}}
	y += titleLetters * 0.5
	for _, p := range h.Text {
		for _, line := range wrap(p, letters, paperWidth-2*margin) {
			y += letters * lineStep
			out = append(out, drawing.Text{Role: drawing.Value, At: r2.Vec{X: margin, Y: y}, Size: letters, Words: line})
		}
		y += letters * 0.5
	}
	return out, y
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
