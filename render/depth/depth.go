// Package depth keeps how near to the viewer a solid comes at each place of a
// view: a grid of depths, quick to make and quick to ask, where rays would be
// exact. It is sure only where what it holds allows no doubt.
package depth

import (
	"math"
	"runtime"

	"conewright/geom/parallel"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// View is what a Map looks at: Right, Up and Toward (at the viewer) are unit
// vectors square to each other, Min and Max bounds along Right and Up from the
// bed's origin, mm; Cell is the size of the grid's cells, mm.
type View struct {
	Right, Up, Toward r3.Vec
	Min, Max          r2.Vec
	Cell              float64
}

// Map holds for the middle of each cell the greatest distance along Toward.
// Whoever gets one may keep it; nothing changes it later.
type Map struct {
	view          View
	width, height int
	near          []float32 // in rows from Min on; nothing there: nothing
	inverse       float64   // of Cell
}

const nothing = float32(-math.MaxFloat32)

// mostCells bounds the grid, whatever size is asked for: cells grow beyond it.
const mostCells = 1 << 21

// New returns a map that holds nothing yet.
func New(v View) *Map {
	w, h := v.Max.X-v.Min.X, v.Max.Y-v.Min.Y
	if !(w > 0) || !(h > 0) || math.IsInf(w, 0) || math.IsInf(h, 0) {
		v.Max, w, h = v.Min, 0, 0
	}
	v.Cell = math.Max(v.Cell, math.Max(1e-9, math.Sqrt(w*h/mostCells)))
	v.Cell = math.Max(v.Cell, math.Max(w, h)/mostCells)
	m := &Map{view: v, width: int(w/v.Cell) + 1, height: int(h/v.Cell) + 1, inverse: 1 / v.Cell}
	m.near = make([]float32, m.width*m.height)
	for i := range m.near {
		m.near[i] = nothing
	}
	return m
}

// View returns how the map looks.
func (m *Map) View() View { return m.view }

// place returns where p lies in the grid, in cells, and its depth.
func (m *Map) place(p r3.Vec) (x, y, d float64) {
	v := &m.view
	return (r3.Dot(p, v.Right) - v.Min.X) * m.inverse, (r3.Dot(p, v.Up) - v.Min.Y) * m.inverse, r3.Dot(p, v.Toward)
}

// rows calls work for stretches of rows, several at a time.
func (m *Map) rows(work func(from, to int)) {
	const least = 32 // rows a stretch: fewer cost more to hand out than to do
	size := max(least, (m.height+runtime.GOMAXPROCS(0)-1)/runtime.GOMAXPROCS(0))
	parallel.Spans(m.height, size, func(_, from, to int) { work(from, to) })
}
