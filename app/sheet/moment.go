package sheet

import (
	"conewright/app/trace"
	"conewright/render"

	"gonum.org/v1/gonum/spatial/r3"
)

// Moment draws motion: the beads laid so far and the head in its place. Nil and
// nil draws the shells again.
func (s *Sheet) Moment(beads [][]r3.Vec, head *render.Head) {
	s.look.beads, s.look.head = beads, head
	s.ask(trace.Time)
}

// Busy reports whether a frame is still being drawn.
func (s *Sheet) Busy() bool { return !s.frames.Idle() }
