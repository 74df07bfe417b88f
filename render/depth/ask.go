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
const steepest = 8.

// The plane through a point tells where the surface is in the cells round it, up
// to its bend, which shows the more the steeper it is: doubts in cells.
const (
	flatDoubt  = 0.5
	slopeDoubt = 0.35 // a unit of slope
)

// Ask tells whether a point on a surface with a normal, the way out of the
// solid, is seen. It answers Seen where none of the cells round the point is
// nearer than the surface itself can be there, and Hidden where all are. What is
// narrower than a cell, or stands less than a few cells before the surface, it
// may overlook.
func (m *Map) Ask(p, normal r3.Vec) Answer {
	v := &m.view
	cos := r3.Dot(normal, v.Toward)
	if cos*cos*(1+steepest*steepest) < 1 {
		return Unsure // also where there is no normal
	}
	x, y, d := m.place(p)
	i, j := int(math.Floor(x)), int(math.Floor(y))
	if i < 1 || j < 1 || i >= m.width-1 || j >= m.height-1 {
		return Unsure
	}
	gx, gy := -v.Cell*r3.Dot(normal, v.Right)/cos, -v.Cell*r3.Dot(normal, v.Up)/cos // rise a cell
	doubt := float32(flatDoubt*v.Cell + slopeDoubt*math.Sqrt(gx*gx+gy*gy))
	stepX := float32(gx)
	seen, hidden := true, true
	for k := -1; k <= 1; k++ {
		at := (j+k)*m.width + i
		plane := float32(d+gx*(float64(i)-0.5-x)+gy*(float64(j+k)+0.5-y)) + doubt
		for _, near := range m.near[at-1 : at+2] {
			if near > plane {
				seen = false
			} else {
				hidden = false
			}
			plane += stepX
		}
		if !seen && !hidden {
			return Unsure
		}
	}
	if seen {
		return Seen
	}
	return Hidden
}

// Of an edge only the surface's tangent is known: what stands less than edgeRoom
// cells before it may be the edge's own surface.
const edgeRoom = 4.

// outside is how far beside an edge, in cells, the surface itself can't be.
const outside = 0.5

// ownFolds is how far before an edge its own surface may fold over it, in cells.
const ownFolds = 12

// OwnFolds returns how near before an edge AskEdge doesn't look, mm.
func (m *Map) OwnFolds() float64 { return ownFolds * m.view.Cell }

// AskEdge is Ask for a point on an edge that doesn't bend inward, such as an
// outline: none of the surface beside it lies further out along normal. It answers
// Seen where nothing is nearer on the outer side, and Hidden where something is on
// all sides. Seen leaves out what stands no further than OwnFolds before the edge:
// the surface's own folds run along each other within a cell, which only a ray can
// tell apart. It is less sure than Ask, so it is for drawings of what moves.
func (m *Map) AskEdge(p, normal r3.Vec) Answer {
	v := &m.view
	x, y, d := m.place(p)
	i, j := int(math.Floor(x)), int(math.Floor(y))
	if !(x >= 1 && y >= 1) || i >= m.width-1 || j >= m.height-1 {
		return Unsure // also what is nowhere
	}
	nx, ny := r3.Dot(normal, v.Right), r3.Dot(normal, v.Up)
	least := outside * math.Hypot(nx, ny)
	near, before := float32(d), float32(d+edgeRoom*v.Cell)
	beside, covered, hidden := 0, 0, 0
	for k := -1; k <= 1; k++ {
		for l := -1; l <= 1; l++ {
			at := m.near[(j+k)*m.width+i+l]
			if at > before {
				hidden++
			}
			if nx*(float64(i+l)+0.5-x)+ny*(float64(j+k)+0.5-y) > least {
				beside++
				if at > near {
					covered++
				}
			}
		}
	}
	switch {
	case hidden == 9:
		return Hidden
	case beside > 0 && covered == 0:
		return Seen
	}
	return Unsure
}
