package sheet

import (
	"conewright/render"
	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r3"
)

// keepFit lets elevation and plan stay fitted to what they were fitted to before a part was
// moved, as long as they still show the same parts; else they are fitted anew.
func (s *Sheet) keepFit(next *render.Input) {
	if s.look.fit == nil || s.drag.active {
		return
	}
	if len(next.Parts) != len(s.in.Parts) {
		s.look.fit = nil
		return
	}
	for i := range next.Parts {
		was, is := s.in.Parts[i].Mesh, next.Parts[i].Mesh
		if was == is {
			continue
		}
		a, b := was.Bounds(), is.Bounds()
		const same = 1e-6 // mm: a part that was only moved or turned is as high as it was
		if high := (b.Max.Z - b.Min.Z) - (a.Max.Z - a.Min.Z); high > same || high < -same || !s.shows(b) {
			s.look.fit = nil
			return
		}
	}
}

// shows reports whether elevation and plan show all of a box, as they are drawn.
func (s *Sheet) shows(box r3.Box) bool {
	if s.drawn == nil {
		return false
	}
	for _, v := range []drawing.View{drawing.Elevation, drawing.Plan} {
		f, ok := s.drawn.FrameOf(v)
		if ok && !(f.Rect.Contains(f.Paper(box.Min)) && f.Rect.Contains(f.Paper(box.Max))) {
			return false
		}
	}
	return true
}
