package render

import (
	"math"

	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
)

// borders frames views of which a part lies outside, as zoomed: one sees where
// the drawing ends and the part goes on.
func (s *sketch) borders() {
	for i := range s.drawing.Frames {
		if f := &s.drawing.Frames[i]; s.cutOff(f) {
			r := f.Rect
			s.loop(style{view: f.View, pen: drawing.Dimension, tone: drawing.Faint},
				r.Min, r2.Vec{X: r.Max.X, Y: r.Min.Y}, r.Max, r2.Vec{X: r.Min.X, Y: r.Max.Y})
		}
	}
}

// cutOff reports whether lines of the part itself end at a view's border.
func (s *sketch) cutOff(f *drawing.ViewFrame) bool {
	for i := range s.drawing.Lines {
		l := &s.drawing.Lines[i]
		if l.View != f.View || len(l.Points) == 0 {
			continue
		}
		switch l.Pen {
		case drawing.Visible, drawing.Hidden, drawing.Shell, drawing.Hatch, drawing.Bead, drawing.Hanging:
			if onBorder(f.Rect, l.Points[0]) || onBorder(f.Rect, l.Points[len(l.Points)-1]) {
				return true
			}
		}
	}
	return false
}

func onBorder(r drawing.Rect, p r2.Vec) bool {
	const near = 1e-6 // mm, of rounding
	return math.Abs(p.X-r.Min.X) < near || math.Abs(p.X-r.Max.X) < near ||
		math.Abs(p.Y-r.Min.Y) < near || math.Abs(p.Y-r.Max.Y) < near
}
