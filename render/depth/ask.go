package depth

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Answer is what a Map says of a point.
type Answer uint8

// The answers.
const (
	Unsure Answer = iota
	Seen
	Hidden
)

// steepest is the slope against the paper from which on the depths of
// neighbouring cells tell nothing of a surface.
const steepest = 3.

// Ask tells whether a point on a surface with a normal, the way out of the
// solid, is seen. It answers Seen where none of the cells round the point is
// nearer than the surface itself can be there, and Hidden where all are. What is
// narrower than a cell, or stands less than a few cells before the surface, it
// may overlook.
func (m *Map) Ask(p, normal r3.Vec) Answer {
	cos := r3.Dot(normal, m.view.Toward)
	if cos*cos*(1+steepest*steepest) < 1 {
		return Unsure // also where there is no normal
	}
	x, y, d := m.place(p)
	i, j := int(math.Floor(x)), int(math.Floor(y))
	if i < 1 || j < 1 || i >= m.width-1 || j >= m.height-1 {
		return Unsure
	}
	least, most := float32(math.MaxFloat32), nothing
	for k := -1; k <= 1; k++ {
		at := (j+k)*m.width + i
		for _, v := range m.near[at-1 : at+2] {
			least, most = min(least, v), max(most, v)
		}
	}
	slope := math.Sqrt(1-min(cos*cos, 1)) / math.Abs(cos)
	doubt := float32(m.view.Cell * (reach*slope + flat))
	if near := float32(d); most <= near+doubt {
		return Seen
	} else if least > near+doubt {
		return Hidden
	}
	return Unsure
}

// A neighbouring cell's middle is up to reach cells away (1.5 along both
// sides), and a curved surface may bulge by flat cells between.
const (
	reach = 1.5 * math.Sqrt2
	flat  = 0.25
)
