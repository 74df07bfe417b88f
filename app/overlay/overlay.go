// Package overlay draws how a brought motion file lies over the warped mesh of
// its zone: the mesh's section at a height, and what the file's beads draw there.
package overlay

import (
	"math"
	"strconv"

	"conewright/geom/brought"
	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
)

// Options say how large the drawing is and what it says.
type Options struct {
	Size r2.Vec // of the paper, mm
	// Words explain the lines: Section the mesh's, Outline the outermost beads',
	// LeftOut those of beads that don't belong to the part.
	Section, Outline, LeftOut string
}

// Sizes on paper, mm.
const (
	margin    = 6.
	labelSize = 3.5
	rowHeight = 5.5
	sample    = 10.
	legend    = 3*rowHeight + 2
	bar       = 10. // of the part, mm
)

// leastSide keeps a scale where a file draws a point only, mm.
const leastSide = 1.

// Around returns what all heights of a fit need of the plane, mm: so that the
// scale stays as one goes through them. Beads that were left out don't count:
// they may lie far off, at the bed's edge.
func Around(fit *brought.Fit) r2.Box {
	box := r2.Box{Min: r2.Vec{X: math.Inf(1), Y: math.Inf(1)}, Max: r2.Vec{X: math.Inf(-1), Y: math.Inf(-1)}}
	for i := range fit.Heights {
		box = including(including(box, fit.Heights[i].Section), fit.Heights[i].Outline)
	}
	if !(box.Min.X <= box.Max.X && box.Min.Y <= box.Max.Y) {
		return r2.Box{Max: r2.Vec{X: leastSide, Y: leastSide}}
	}
	return box
}

func including(box r2.Box, lines [][]r2.Vec) r2.Box {
	for _, line := range lines {
		for _, p := range line {
			box.Min = r2.Vec{X: math.Min(box.Min.X, p.X), Y: math.Min(box.Min.Y, p.Y)}
			box.Max = r2.Vec{X: math.Max(box.Max.X, p.X), Y: math.Max(box.Max.Y, p.Y)}
		}
	}
	return box
}

// farthest is how far from the part beads are still looked at, mm: about as far
// as a bed reaches.
const farthest = 300.

// near returns the lines that lie so near to a box that they are looked at.
func near(box r2.Box, lines [][]r2.Vec) [][]r2.Vec {
	var kept [][]r2.Vec
	for _, line := range lines {
		all := including(box, [][]r2.Vec{line})
		grown := r2.Add(r2.Sub(box.Min, all.Min), r2.Sub(all.Max, box.Max))
		if grown.X <= farthest && grown.Y <= farthest {
			kept = append(kept, line)
		}
	}
	return kept
}

// Draw returns the drawing of one height, with around in the middle of the
// paper, or that and the beads that were left out. Paper without room stays
// empty.
func Draw(h *brought.Height, around r2.Box, o Options) *drawing.Drawing {
	d := &drawing.Drawing{Size: o.Size}
	around = including(around, near(around, h.LeftOut))
	s := sketch{d: d}
	if !s.lay(around, o.Size) {
		return d
	}
	s.lines(h.Beads, drawing.Bead, drawing.Faint, false)
	s.lines(h.LeftOut, drawing.Hidden, drawing.Accent, false)
	s.lines(h.Outline, drawing.Symbol, drawing.Ink, false)
	s.lines(h.Section, drawing.Visible, drawing.Ink, true)
	s.explain(0, drawing.Visible, drawing.Ink, o.Section)
	s.explain(1, drawing.Symbol, drawing.Ink, o.Outline)
	if len(h.LeftOut) > 0 {
		s.explain(2, drawing.Hidden, drawing.Accent, o.LeftOut)
	}
	s.measure()
	return d
}

// sketch lays lines of the plane on paper.
type sketch struct {
	d      *drawing.Drawing
	scale  float64 // mm of paper a mm
	middle r2.Vec  // of the plane, mm
	at     r2.Vec  // where that lies on the paper
}

// lay chooses the scale; it reports whether there is room for any.
func (s *sketch) lay(around r2.Box, size r2.Vec) bool {
	room := r2.Vec{X: size.X - 2*margin, Y: size.Y - 2*margin - legend - rowHeight}
	if room.X < margin || room.Y < margin {
		return false
	}
	span := r2.Sub(around.Max, around.Min)
	s.scale = math.Min(room.X/math.Max(span.X, leastSide), room.Y/math.Max(span.Y, leastSide))
	s.middle = r2.Scale(0.5, r2.Add(around.Min, around.Max))
	s.at = r2.Vec{X: size.X / 2, Y: margin + legend + room.Y/2}
	return true
}

func (s *sketch) paper(p r2.Vec) r2.Vec {
	return r2.Vec{X: s.at.X + (p.X-s.middle.X)*s.scale, Y: s.at.Y - (p.Y-s.middle.Y)*s.scale}
}

// lines draws what lies on the paper at least in part.
func (s *sketch) lines(list [][]r2.Vec, pen drawing.Pen, tone drawing.Tone, closed bool) {
	for _, line := range list {
		points := make([]r2.Vec, len(line))
		for i, p := range line {
			points[i] = s.paper(p)
		}
		if len(points) > 1 && s.touches(points) {
			s.d.Lines = append(s.d.Lines, drawing.Line{View: drawing.Plan, Pen: pen, Tone: tone, Closed: closed, Points: points})
		}
	}
}

// touches reports whether points aren't all off the paper on one side.
func (s *sketch) touches(points []r2.Vec) bool {
	var left, right, over, under int
	for _, p := range points {
		left, right = left+one(p.X < 0), right+one(p.X > s.d.Size.X)
		over, under = over+one(p.Y < 0), under+one(p.Y > s.d.Size.Y)
	}
	return max(left, right, over, under) < len(points)
}

func one(b bool) int {
	if b {
		return 1
	}
	return 0
}

// explain writes what a line stands for, after a piece of it.
func (s *sketch) explain(row int, pen drawing.Pen, tone drawing.Tone, words string) {
	y := margin + (float64(row)+0.5)*rowHeight
	s.d.Lines = append(s.d.Lines, drawing.Line{View: drawing.Sheet, Pen: pen, Tone: tone,
		Points: []r2.Vec{{X: margin, Y: y}, {X: margin + sample, Y: y}}})
	s.words(r2.Vec{X: margin + sample + 2, Y: y + labelSize/3}, words)
}

// measure draws a bar of so many mm of the part.
func (s *sketch) measure() {
	y, to := s.d.Size.Y-margin, margin+bar*s.scale
	s.d.Lines = append(s.d.Lines, drawing.Line{View: drawing.Sheet, Pen: drawing.Dimension, Points: []r2.Vec{
		{X: margin, Y: y - 1.5}, {X: margin, Y: y}, {X: to, Y: y}, {X: to, Y: y - 1.5}}})
	s.words(r2.Vec{X: to + 2, Y: y}, strconv.Itoa(bar)+" mm")
}

func (s *sketch) words(at r2.Vec, words string) {
	s.d.Texts = append(s.d.Texts, drawing.Text{View: drawing.Sheet, Role: drawing.Label, Tone: drawing.Faint, At: at, Size: labelSize, Halo: true, Words: words})
}
