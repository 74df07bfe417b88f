package head

import (
	"math"

	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
)

// side draws the elevation: outline of the profile, boxes, axes, bed, tilt.
func (s *sketch) side() {
	h, v := &s.shape, drawing.Elevation
	s.words(v, r2.Vec{X: margin, Y: s.paper(0, h.max.Z).Y - labelSize - 3}, drawing.Start, s.o.Side)
	sin, cos := math.Sincos(h.tilt)
	var left, right []r2.Vec
	for _, g := range h.rings {
		left = append(left, s.paper(g.middle.X-g.radius*cos, g.middle.Z+g.radius*sin))
		right = append(right, s.paper(g.middle.X+g.radius*cos, g.middle.Z-g.radius*sin))
	}
	for i := len(left) - 1; i >= 0; i-- {
		right = append(right, left[i])
	}
	s.line(v, drawing.Visible, true, right...)
	for _, b := range h.boxes {
		s.line(v, drawing.Visible, true, s.paper(b.Min[0], b.Min[2]), s.paper(b.Max[0], b.Min[2]), s.paper(b.Max[0], b.Max[2]), s.paper(b.Min[0], b.Max[2]))
	}
	s.line(v, drawing.Ground, false, s.paper(h.min.X, 0), s.paper(h.max.X, 0))
	s.words(v, r2.Add(s.paper(h.max.X, 0), r2.Vec{Y: labelSize + 1}), drawing.End, s.o.Bed)
	length := h.length() + axisOver/s.scale
	s.line(v, drawing.Axis, false, s.paper(0, 0), s.paper(length*sin, length*cos))
	if h.letter != "" {
		s.line(v, drawing.Axis, false, s.paper(h.axis.X, math.Min(0, h.min.Z)), s.paper(h.axis.X, h.max.Z))
		s.words(v, r2.Add(s.paper(h.axis.X, h.max.Z), r2.Vec{Y: -1.2}), drawing.Middle, s.o.Axis)
	}
	s.angle()
}

// angle draws the tilt against the vertical.
func (s *sketch) angle() {
	if s.shape.tilt <= 0 {
		return
	}
	radius := arcAt * s.shape.length()
	top := s.paper(0, radius)
	if s.shape.letter == "" || s.shape.axis.X != 0 { // else the swivel axis stands there
		s.line(drawing.Elevation, drawing.Dimension, false, s.paper(0, 0), top)
	}
	var arc []r2.Vec
	for i := range circle/4 + 1 {
		sin, cos := math.Sincos(s.shape.tilt * float64(i) / (circle / 4))
		arc = append(arc, s.paper(radius*sin, radius*cos))
	}
	s.line(drawing.Elevation, drawing.Dimension, false, arc...)
	sin, cos := math.Sincos(s.shape.tilt / 2)
	s.words(drawing.Elevation, r2.Add(s.paper(radius*sin, radius*cos), r2.Vec{Y: -1}), drawing.Middle, s.number(s.shape.tilt*180/math.Pi)+"°")
}

// above draws the plan: rings of the profile, boxes, axes.
func (s *sketch) above() {
	h, v := &s.shape, drawing.Plan
	s.words(v, r2.Vec{X: margin, Y: s.plan(0, h.max.Y).Y - 2}, drawing.Start, s.o.Above)
	cosine := math.Cos(h.tilt)
	pen := drawing.Shell
	if len(h.boxes) > 0 {
		pen = drawing.Hidden // under the boxes
	}
	for _, g := range h.rings {
		var loop []r2.Vec
		for i := range circle {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / circle)
			loop = append(loop, s.plan(g.middle.X+g.radius*cosine*cos, g.radius*sin))
		}
		s.line(v, pen, true, loop...)
	}
	for _, b := range h.boxes {
		s.line(v, drawing.Visible, true, s.plan(b.Min[0], b.Min[1]), s.plan(b.Max[0], b.Min[1]), s.plan(b.Max[0], b.Max[1]), s.plan(b.Min[0], b.Max[1]))
	}
	s.line(v, drawing.Axis, false, s.plan(h.min.X, 0), s.plan(h.max.X, 0))
	if h.letter != "" {
		s.d.Marks = append(s.d.Marks, drawing.Mark{View: v, Item: drawing.Item{Kind: drawing.AxisItem}, At: s.plan(h.axis.X, h.axis.Y), Radius: 1.5})
	}
}

// bar draws a length to measure by, and says the scale, in the lower corner.
func (s *sketch) bar() {
	length := 1.0
	for _, l := range []float64{2, 5, 10, 20, 50, 100, 200, 500} {
		if l*s.scale <= 30 {
			length = l
		}
	}
	at := r2.Vec{X: margin, Y: s.o.Size.Y - margin/2}
	end := r2.Add(at, r2.Vec{X: length * s.scale})
	s.line(drawing.Sheet, drawing.Dimension, false, r2.Sub(at, r2.Vec{Y: 2}), at, end, r2.Sub(end, r2.Vec{Y: 2}))
	s.words(drawing.Sheet, r2.Add(end, r2.Vec{X: 1.5}), drawing.Start, s.number(length)+" mm")
	scale := s.number(s.scale) + " : 1"
	if s.scale < 1 {
		scale = "1 : " + s.number(1/s.scale)
	}
	s.words(drawing.Sheet, r2.Vec{X: s.o.Size.X - margin, Y: at.Y}, drawing.End, scale)
}
