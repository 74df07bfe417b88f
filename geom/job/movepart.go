package job

import (
	"math"

	"conewright/geom/mesh"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// MovePart seats the part at another place, mm. Axes, lines and cuts go with it.
func (s *Setup) MovePart(seat [2]float64) {
	by := r2.Vec{X: seat[0] - s.Part.Seat[0], Y: seat[1] - s.Part.Seat[1]}
	s.Part.Seat = &seat
	s.Zones.carry(func(p r2.Vec) r2.Vec { return r2.Add(p, by) }, 0)
}

// TurnPart turns the part further about the upright through its seat, by degrees
// counter-clockwise seen from above. Axes, lines, cuts and ramps turn with it. m is the
// part as it stands: a seat is the middle of the bounding box, and the box of the
// turned part has another middle. Without m the box is taken for symmetric.
func (s *Setup) TurnPart(m *mesh.Mesh, degrees float64) {
	s.Zones.carry(s.Part.turned(m, degrees), degrees)
	s.Part.Turn[2] = math.Remainder(s.Part.Turn[2]+degrees, 360)
}

// turned returns where a part's points go in plan when it is turned as TurnPart does.
func (p *Part) turned(m *mesh.Mesh, degrees float64) func(r2.Vec) r2.Vec {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	seat := r2.Vec{X: p.Seat[0], Y: p.Seat[1]}
	turn := func(p r2.Vec) r2.Vec {
		d := r2.Sub(p, seat)
		return r2.Vec{X: seat.X + cos*d.X - sin*d.Y, Y: seat.Y + sin*d.X + cos*d.Y}
	}
	back := r2.Vec{}
	if m != nil {
		back = r2.Sub(seat, boxMiddle(m, turn))
	}
	return func(p r2.Vec) r2.Vec { return r2.Add(turn(p), back) }
}

// boxMiddle returns the middle in plan of the bounding box of a mesh that is
// moved by f.
func boxMiddle(m *mesh.Mesh, f func(r2.Vec) r2.Vec) r2.Vec {
	low, high := r2.Vec{X: math.Inf(1), Y: math.Inf(1)}, r2.Vec{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, v := range m.Vertices {
		p := f(r2.Vec{X: v.X, Y: v.Y})
		low = r2.Vec{X: math.Min(low.X, p.X), Y: math.Min(low.Y, p.Y)}
		high = r2.Vec{X: math.Max(high.X, p.X), Y: math.Max(high.Y, p.Y)}
	}
	return r2.Scale(0.5, r2.Add(low, high))
}

// carry moves axes, lines and cuts by f, and turns what has a direction by degrees.
func (z *Zone) carry(f func(r2.Vec) r2.Vec, degrees float64) {
	if z == nil {
		return
	}
	if c := z.Cut; c != nil {
		p := f(r2.Vec{X: c.Point[0], Y: c.Point[1]})
		c.Point[0], c.Point[1] = p.X, p.Y
		if o := c.Only; o != nil {
			p := f(r2.Vec{X: o[0], Y: o[1]})
			c.Only = &[3]float64{p.X, p.Y, o[2]}
		}
		n := r3.NewRotation(degrees*math.Pi/180, r3.Vec{Z: 1}).Rotate(r3.Vec{X: c.Normal[0], Y: c.Normal[1], Z: c.Normal[2]})
		c.Normal = [3]float64{n.X, n.Y, n.Z}
	}
	if a := z.Field; a != nil {
		if a.Axis != nil {
			p := f(r2.Vec{X: a.Axis[0], Y: a.Axis[1]})
			a.Axis = &[2]float64{p.X, p.Y}
		}
		for i, q := range a.Line {
			p := f(r2.Vec{X: q[0], Y: q[1]})
			a.Line[i] = [2]float64{p.X, p.Y}
		}
		if a.Has("toward") {
			a.Toward = math.Remainder(a.Toward+degrees, 360)
		}
	}
	z.Under.carry(f, degrees)
	z.Over.carry(f, degrees)
}
