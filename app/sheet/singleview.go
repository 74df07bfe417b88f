package sheet

import (
	"conewright/app/trace"
	"conewright/render/drawing"
)

// Only returns the view that has the sheet for itself; Sheet: all are shown.
func (s *Sheet) Only() drawing.View { return s.look.only }

// ShowOnly gives a view the sheet for itself, or shows all again; either fits
// the part anew.
func (s *Sheet) ShowOnly(v drawing.View) {
	if s.look.only == v {
		return
	}
	s.look.only, s.look.fit = v, nil
	first := firstLook()
	s.look.flat = first.flat
	s.look.view.Zoom, s.look.view.Pan = first.view.Zoom, first.view.Pan
	s.ask(trace.Zoom)
	if s.options.Edit.Shown != nil {
		s.options.Edit.Shown()
	}
}

// toggleOnly gives a view the sheet, or shows all where it has it.
func (s *Sheet) toggleOnly(v drawing.View) {
	if s.look.only == v {
		v = drawing.Sheet
	}
	s.ShowOnly(v)
}

// Frame returns how a view was drawn last; ok is false where it isn't drawn.
func (s *Sheet) Frame(v drawing.View) (f drawing.ViewFrame, ok bool) {
	if s.drawn == nil {
		return f, false
	}
	drawn, ok := s.drawn.FrameOf(v)
	if ok {
		f = *drawn
	}
	return f, ok
}
