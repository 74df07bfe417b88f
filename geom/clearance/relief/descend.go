package relief

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Place is a cell of any level, with what it needs to be asked.
type Place struct {
	X, Y float64 // its middle
	Half float64 // half its edge
	Top  float64 // no material is higher

	c      *Cell
	corner r3.Vec
}

// Along bounds how far the material over the place reaches along a vector that
// points up (or level), measured from the point from.
func (p *Place) Along(n, from r3.Vec) float64 {
	return p.c.along(n, p.X-p.corner.X, p.Y-p.corner.Y, p.Half) +
		n.X*(p.corner.X-from.X) + n.Y*(p.corner.Y-from.Y) - n.Z*from.Z
}

// Plane returns the plane that the material lies under: the points p with
// n.(p - from) = d.
func (p *Place) Plane(from r3.Vec) (n r3.Vec, d float64) {
	n = p.c.normal()
	return n, float64(p.c.d) + n.X*(p.corner.X-from.X) + n.Y*(p.corner.Y-from.Y) - n.Z*from.Z
}

// Smallest reports that the place has no parts.
func (p *Place) Smallest() bool { return p.Half <= Edge/2 }

// Index returns the number of a smallest cell, counted as in a Span.
func (p *Place) Index() (x, y int32) {
	return int32(math.Floor(p.X / Edge)), int32(math.Floor(p.Y / Edge))
}

// Ask descends through all places with material within far (mm, in plan) of
// (x, y). It goes on to the parts of a place where more returns true. The place
// is more's only until it returns.
func (r *Relief) Ask(x, y, far float64, more func(p *Place) bool) {
	for _, t := range r.order {
		const half = side * Edge / 2
		if dx, dy := x-t.x-half, y-t.y-half; dx > half+far || -dx > half+far || dy > half+far || -dy > half+far {
			continue
		}
		r.ask(t, tileLevels, 0, 0, more)
	}
}

// ask asks about a cell, and about its parts where it is told to.
func (r *Relief) ask(t *tile, level, x, y int, more func(p *Place) bool) {
	c := &t.cells[first[level]+y*(side>>level)+x]
	if !c.laid {
		return
	}
	p := &r.places[level] // one that is not made anew each time
	p.Half = Edge / 2 * float64(int(1)<<level)
	p.X, p.Y, p.Top = t.x+float64(2*x+1)*p.Half, t.y+float64(2*y+1)*p.Half, float64(c.z)
	p.c, p.corner = c, r3.Vec{X: t.x, Y: t.y}
	if !more(p) || level == 0 {
		return
	}
	for k := range 4 {
		r.ask(t, level-1, 2*x+k&1, 2*y+k>>1, more)
	}
}
