package sheet

import (
	"conewright/app/trace"
	"conewright/render"
)

// Moment draws motion: what is laid so far and the head in its place. Nil and
// nil draws the shells again.
func (s *Sheet) Moment(laid *render.Laid, head *render.Head) {
	s.look.laid, s.look.head = laid, head
	s.ask(trace.Time)
}

// Busy reports whether a frame is still being drawn.
func (s *Sheet) Busy() bool { return !s.frames.Idle() }
