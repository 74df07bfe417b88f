package render

import (
	"math"

	"conewright/render/drawing"
	"conewright/render/lettering"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// sectionLetter names the section plane in plan and elevation.
const sectionLetter = "A"

// Sizes of cut marks, mm of paper.
const (
	cutOver  = 11. // of the line over the part
	cutEnd   = 5.  // thick ends
	cutArrow = 5.5 // arrows, on the thin shaft
	cutTip   = 4.4 // of a cut's triangle over its line
)

// cutMarks draws the cuts in the elevation: a long-dash dot line with a triangle at
// each end that points to the side that prints later, number and height. Thick ends
// with arrows are the mark of a section plane.
func (s *sketch) cutMarks(m *model, f *drawing.ViewFrame, y float64) {
	if s.in.Warp > 0 {
		return
	}
	for i, c := range s.in.Cuts {
		if a, b, ok := cutTrace(m, f, c, y); ok {
			s.cutMark(f, i, c, a, b, y)
		}
	}
}

// cutTrace returns the ends of a cut's line on paper, from left to right; ok
// is false where the cut doesn't go through the elevation's plane as a line.
func cutTrace(m *model, f *drawing.ViewFrame, c Cut, y float64) (a, b r2.Vec, ok bool) {
	n := r2.Vec{X: c.Normal.X, Y: c.Normal.Z}
	if r2.Norm(n) < 1e-9 {
		return a, b, false
	}
	middle := m.middle()
	// the point of the line nearest to the part's middle
	off := (c.Normal.X*(middle.X-c.Point.X) + c.Normal.Y*(y-c.Point.Y) + c.Normal.Z*(middle.Z-c.Point.Z)) / r2.Norm2(n)
	foot := f.Paper(r3.Vec{X: middle.X - off*n.X, Y: y, Z: middle.Z - off*n.Y})
	d := r2.Unit(r2.Vec{X: n.Y, Y: n.X}) // on paper, square to the normal
	lo, hi := f.Paper(m.solid.Min), f.Paper(m.solid.Max)
	box := drawing.Rect{Min: r2.Vec{X: lo.X - cutOver, Y: hi.Y - cutOver}, Max: r2.Vec{X: hi.X + cutOver, Y: lo.Y + cutOver}}
	a, b, ok = clipSegment(r2.Sub(foot, r2.Scale(1e4, d)), r2.Add(foot, r2.Scale(1e4, d)), box)
	if ok {
		a, b, ok = clipSegment(a, b, inFrame(f))
	}
	return a, b, ok && r2.Norm(r2.Sub(b, a)) > 2*cutEnd
}

// inFrame returns where the ends of cuts may lie, so that their arrows and
// words stay in the frame and they can be taken hold of however far the view is
// zoomed.
func inFrame(f *drawing.ViewFrame) drawing.Rect {
	return drawing.Rect{
		Min: r2.Add(f.Rect.Min, r2.Vec{X: 5, Y: cutArrow}),
		Max: r2.Sub(f.Rect.Max, r2.Vec{X: 5, Y: cutArrow}),
	}
}

func (s *sketch) cutMark(f *drawing.ViewFrame, i int, c Cut, a, b r2.Vec, y float64) {
	item := drawing.Item{Kind: drawing.CutItem, Index: i}
	tone := drawing.Ink
	if s.selected(i, drawing.CutItem, drawing.CutTiltItem) {
		tone = drawing.Accent
	}
	d := r2.Unit(r2.Sub(b, a))
	up := r2.Unit(r2.Vec{X: c.Normal.X, Y: -c.Normal.Z})
	st := style{view: f.View, pen: drawing.Cut, tone: tone}
	clipLine([]r2.Vec{a, b}, f.Rect, func(p []r2.Vec) { s.line(st, p...) })
	for _, e := range [2]struct {
		at, in r2.Vec
		end    int
	}{{a, d, -1}, {b, r2.Scale(-1, d), 1}} {
		s.cutTriangle(f.View, tone, e.at, e.in, up, 1, f.Rect)
		s.drawing.Handles = append(s.drawing.Handles, drawing.Handle{View: f.View,
			Item: drawing.Item{Kind: drawing.CutTiltItem, Index: i}, At: e.at, To: r2.Add(e.at, r2.Scale(cutEnd, e.in)), End: e.end})
	}
	s.drawing.Handles = append(s.drawing.Handles, drawing.Handle{View: f.View, Item: item,
		At: r2.Add(a, r2.Scale(cutEnd, d)), To: r2.Sub(b, r2.Scale(cutEnd, d))})
	s.cutWords(f, c, a, b, tone, y)
}

// cutTriangle draws the triangle at the end of a cut, on its line, at a share of its
// size.
func (s *sketch) cutTriangle(view drawing.View, tone drawing.Tone, at, in, up r2.Vec, share float64, within drawing.Rect) {
	foot := r2.Add(at, r2.Scale(share*cutEnd, in))
	tip := r2.Add(r2.Add(at, r2.Scale(share*cutEnd/2, in)), r2.Scale(share*cutTip, up))
	if within.Contains(at) && within.Contains(foot) && within.Contains(tip) {
		s.loop(style{view, drawing.Symbol, tone}, at, foot, tip)
	}
}

// cutEnd draws the thick end of a section plane and its arrow.
func (s *sketch) cutEnd(f *drawing.ViewFrame, tone drawing.Tone, at, in, arrow r2.Vec) {
	tip := r2.Add(at, r2.Scale(cutArrow, arrow))
	if !f.Rect.Contains(at) || !f.Rect.Contains(tip) {
		return
	}
	s.line(style{f.View, drawing.CutEnd, tone}, at, r2.Add(at, r2.Scale(cutEnd, in)))
	st := style{f.View, drawing.Symbol, tone}
	s.line(st, at, tip)
	s.arrow(st, tip, arrow)
}

func (s *sketch) cutWords(f *drawing.ViewFrame, c Cut, a, b r2.Vec, tone drawing.Tone, y float64) {
	base := lettering.CapHeight * measureSize / 2
	s.textIn(f, drawing.Text{Role: drawing.Tag, Tone: tone, At: r2.Vec{X: a.X - 2, Y: a.Y + base},
		Size: measureSize, Anchor: drawing.End, Halo: true, Words: c.Label})
	if math.Abs(c.Normal.Z) < 1e-9 {
		return
	}
	height := c.Point.Z + c.Normal.Y*(c.Point.Y-y)/c.Normal.Z
	words := measured(height, s.in.Texts.Decimal)
	if tilt := degrees(math.Atan2(math.Hypot(c.Normal.X, c.Normal.Y), c.Normal.Z)); tilt > 0.05 {
		words += ", " + measured(tilt, s.in.Texts.Decimal) + "°"
	}
	t := drawing.Text{Role: drawing.Measure, Tone: tone, At: r2.Vec{X: b.X + 2, Y: b.Y + base}, Size: measureSize, Halo: true, Words: words}
	if t.At.X+lettering.Width(words, measureSize) > f.Rect.Max.X { // no room beyond the end: over its arrow
		t.At, t.Anchor = r2.Vec{X: f.Rect.Max.X, Y: b.Y - cutArrow - 1.2}, drawing.End
	}
	s.textIn(f, t)
}
