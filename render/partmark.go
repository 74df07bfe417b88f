package render

import (
	"math"

	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Sizes of the marks of parts in plan, mm of paper.
const (
	knobAway   = 4.  // of the knob that turns a part from the part
	knobRadius = 1.6 // of its circle
	partWords  = 1.  // of a part's name from the part
)

// partMarks makes the parts on the bed places to take hold of in plan. Several are
// named; the selected one has a thin outline and a knob that turns it.
func (s *sketch) partMarks(m *model, f *drawing.ViewFrame) {
	if s.in.Warp > 0 {
		return
	}
	for i, outline := range m.parts {
		if len(outline) == 0 {
			continue
		}
		item := drawing.Item{Kind: drawing.PartItem, Index: i}
		box := boxOf(outline)
		at := f.Paper(r3.Scale(0.5, r3.Add(box.Min, box.Max)))
		h := drawing.Handle{View: f.View, Item: item, At: at, To: at}
		for _, p := range outline {
			h.Area = append(h.Area, f.Paper(p))
		}
		s.drawing.Handles = append(s.drawing.Handles, h)
		tone := drawing.Faint
		if s.selected(i, drawing.PartItem, drawing.PartTurnItem) {
			tone = drawing.Accent
			s.curve(f, style{pen: drawing.Symbol, tone: tone}, outline...)
			s.knob(f, i, outline)
		}
		if len(m.parts) > 1 {
			foot := f.Paper(r3.Vec{X: (box.Min.X + box.Max.X) / 2, Y: box.Min.Y})
			s.textIn(f, drawing.Text{Role: drawing.Label, Tone: tone, Size: labelSize, Anchor: drawing.Middle, Halo: true,
				At: r2.Vec{X: foot.X, Y: foot.Y + labelSize + partWords + axisOut}, Words: s.in.Parts[i].Name})
		}
	}
}

// knob draws the knob that turns a part, on an arm out of the part's middle that
// turns with it.
func (s *sketch) knob(f *drawing.ViewFrame, i int, outline []r3.Vec) {
	box := boxOf(outline)
	middle := r3.Scale(0.5, r3.Add(box.Min, box.Max))
	reach := 0.0
	for _, p := range outline {
		reach = max(reach, math.Hypot(p.X-middle.X, p.Y-middle.Y))
	}
	sin, cos := math.Sincos(s.in.Parts[i].Azimuth)
	toward := r3.Vec{X: cos, Y: sin}
	from, to := f.Paper(middle), f.Paper(r3.Add(middle, r3.Scale(reach+knobAway/f.Scale, toward)))
	if !f.Rect.Contains(to) {
		return
	}
	item := drawing.Item{Kind: drawing.PartTurnItem, Index: i}
	clipLine([]r2.Vec{from, to}, f.Rect, func(p []r2.Vec) {
		s.line(style{f.View, drawing.Dimension, drawing.Accent}, p...)
	})
	s.drawing.Marks = append(s.drawing.Marks, drawing.Mark{View: f.View, Tone: drawing.Accent, Item: item, At: to, Radius: knobRadius})
	s.drawing.Handles = append(s.drawing.Handles, drawing.Handle{View: f.View, Item: item, At: to, To: to})
	words := number(degrees(s.in.Parts[i].Azimuth), 0, s.in.Texts.Decimal) + "°"
	s.textIn(f, drawing.Text{Role: drawing.Measure, Tone: drawing.Accent, Size: measureSize, Halo: true,
		At: r2.Vec{X: to.X + 2*knobRadius, Y: to.Y - 1.6}, Words: words})
}

// boxOf returns the box of points; there must be one at least.
func boxOf(points []r3.Vec) r3.Box {
	box := r3.Box{Min: points[0], Max: points[0]}
	for _, p := range points {
		box.Min = r3.Vec{X: min(box.Min.X, p.X), Y: min(box.Min.Y, p.Y), Z: min(box.Min.Z, p.Z)}
		box.Max = r3.Vec{X: max(box.Max.X, p.X), Y: max(box.Max.Y, p.Y), Z: max(box.Max.Z, p.Z)}
	}
	return box
}
