package movement

import (
	"math"

	"conewright/geom/describe"
	"conewright/geom/machine"
	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r3"
)

// turning draws each turning axis and an arc with an arrow: which way it turns as
// its word grows.
func (s *sketch) turning() {
	for i, a := range s.k.Axes() {
		at, about := s.k.AxisAt(i, s.o.Words)
		m := describe.Move{Letter: a.Letter, Linear: -1, Turn: i}
		tone := drawing.Ink
		if s.stressed(m) {
			tone = drawing.Accent
		}
		from, to, radius := s.span(a, at)
		s.line(drawing.Axis, tone, false, r3.Add(at, r3.Scale(from, about)), r3.Add(at, r3.Scale(to, about)))
		end := r3.Add(at, r3.Scale(to, about))
		s.arc(end, r3.Scale(a.Sense, about), radius, tone)
		s.label(r3.Add(end, r3.Scale(4/s.frame.Scale, r3.Scale(math.Copysign(1, to), about))), tone, a.Letter+"+")
	}
}

// span returns how far an axis is drawn along its direction, mm, and how large its
// arc is.
func (s *sketch) span(a machine.Rotary, at r3.Vec) (from, to, radius float64) {
	half := (s.hi.X - s.lo.X) / 2
	switch {
	case !describe.Upright(a.About) && a.On == machine.OnBed:
		return -half * 1.2, half * 1.2, 14
	case !describe.Upright(a.About):
		return -45, 45, 14
	case a.On == machine.OnBed:
		return -25, 35, 18
	}
	top := s.headLength() + 25
	return math.Min(0, -at.Z), top * math.Copysign(1, a.About[2]), 16
}

// arc draws three quarters of a circle about an axis, right-handed, with an arrow
// at its end.
func (s *sketch) arc(middle, about r3.Vec, radius float64, tone drawing.Tone) {
	about = r3.Unit(about)
	e1 := r3.Cross(about, toward)
	if r3.Norm(e1) < 1e-3 {
		e1 = right
	}
	e1 = r3.Unit(e1)
	e2 := r3.Cross(about, e1)
	at := func(angle, r float64) r3.Vec {
		sin, cos := math.Sincos(angle)
		return r3.Add(middle, r3.Add(r3.Scale(r*cos, e1), r3.Scale(r*sin, e2)))
	}
	const end = 1.5 * math.Pi
	var points []r3.Vec
	for i := range circle + 1 {
		points = append(points, at(end*float64(i)/circle, radius))
	}
	s.line(drawing.Dimension, tone, false, points...)
	s.line(drawing.Symbol, tone, false, at(end-0.35, radius*1.2), at(end, radius), at(end-0.35, radius*0.8))
}

// linear draws an arrow a linear axis at the bed's right front corner: whither the
// head goes against the bed as the word grows.
func (s *sketch) linear() {
	length := math.Max(18/s.frame.Scale, 1)
	middle := r3.Vec{X: (s.lo.X + s.hi.X) / 2, Y: (s.lo.Y + s.hi.Y) / 2}
	corner := r3.Vec{X: s.lo.X, Y: s.lo.Y - length*0.4}
	if s.round {
		corner = r3.Vec{X: middle.X - (s.hi.X-s.lo.X)/2, Y: s.lo.Y - length*0.4}
	}
	for i, d := range s.card.Linears() {
		m := describe.Moves(s.card)[i]
		tone := drawing.Ink
		if s.stressed(m) {
			tone = drawing.Accent
		}
		end := r3.Add(corner, r3.Scale(length, d))
		s.line(drawing.Symbol, tone, false, corner, end)
		side := r3.Cross(d, toward)
		if n := r3.Norm(side); n > 1e-3 {
			side = r3.Scale(length*0.07/n, side)
			back := r3.Sub(end, r3.Scale(length*0.17, d))
			s.line(drawing.Symbol, tone, false, r3.Add(back, side), end, r3.Sub(back, side))
		}
		s.label(r3.Add(end, r3.Scale(3/s.frame.Scale, d)), tone, m.Letter+"+")
	}
}
