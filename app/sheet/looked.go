package sheet

import (
	"conewright/app/trace"
	"conewright/render"
	"conewright/render/drawing"
)

// Looked is how a sheet is looked at, kept to be taken up again.
type Looked struct{ look look }

// Warp returns how far what was drawn was warped, 0..1.
func (l Looked) Warp() float64 { return l.look.warp }

// Looked returns how the sheet is looked at now.
func (s *Sheet) Looked() Looked { return Looked{s.look} }

// LookAgain looks at the sheet as was kept; nothing is selected, and no moment
// of the motion is drawn.
func (s *Sheet) LookAgain(l Looked) {
	l.look.selected, l.look.laid, l.look.head = drawing.Item{}, nil, nil
	s.look = l.look
	s.ask(trace.Other)
}

// Warp returns how far the drawn part is warped, 0..1.
func (s *Sheet) Warp() float64 { return s.look.warp }

// OnPaper puts into an input how the sheet is looked at, for a drawing of its
// own: direction, warp, what is shown, but all of the part and nothing selected.
func (s *Sheet) OnPaper(in render.Input) render.Input {
	l := s.look
	first := firstLook()
	l.flat, l.selected = first.flat, drawing.Item{}
	l.view.Zoom, l.view.Pan = first.view.Zoom, first.view.Pan
	l.apply(&in)
	return in
}
