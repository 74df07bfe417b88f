package sheet

import (
	"math"

	"conewright/app/trace"
	"conewright/geom/mesh"
	"conewright/render"
	"conewright/render/drawing"
	"conewright/render/solid"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// TurnTo selects an item at a place and turns the sheet to it: the pictorial
// view from where nothing stands before it, and views that show another part of
// the drawing back to where it is seen.
func (s *Sheet) TurnTo(item drawing.Item, at r3.Vec) {
	s.look.selected = item
	s.ask(trace.Other)
	m, from := s.in.Mesh, s.look.view
	if m == nil {
		return
	}
	go func() { // the hierarchy of a large part takes longer than a frame
		view := facing(m, at, from)
		s.options.Post(func() {
			if s.in.Mesh != m || s.drag.active {
				return
			}
			s.look.view.Azimuth, s.look.view.Elevation = view.Azimuth, view.Elevation
			s.bringIn(at)
			s.ask(trace.Orbit)
		})
	}()
}

// bringIn fits a view again where a place lies outside of it.
func (s *Sheet) bringIn(at r3.Vec) {
	if s.drawn == nil {
		return
	}
	first := firstLook()
	for i := range s.drawn.Frames {
		f := s.drawn.Frames[i]
		if f.View == drawing.Pictorial {
			f.Right, f.Up = axesOf(s.look.view)
			if !f.Rect.Contains(f.Paper(at)) {
				s.look.view.Zoom, s.look.view.Pan = 1, r2.Vec{}
			}
		} else if !f.Rect.Contains(f.Paper(at)) {
			s.look.flat = first.flat
		}
	}
}

// Directions that are tried for seeing a place, and how far before it a ray
// begins, mm: a bead's middle lies within the part.
const (
	azimuthSteps = 24
	clearOf      = 0.3
)

var elevations = []float64{24, 50, 0, -24, -50, 80, -80} // degrees

// facing returns the view from which a place of the part is seen, turned as
// little as may be from a view; that view itself where none does.
func facing(m *mesh.Mesh, at r3.Vec, from render.View) render.View {
	body := solid.New(m)
	free := func(v render.View) bool {
		d := towardViewer(v)
		return !blocked(body, r3.Add(at, r3.Scale(clearOf, d)), d)
	}
	if free(from) {
		return from
	}
	best, least := from, math.Inf(1)
	now := towardViewer(from)
	for _, e := range elevations {
		for i := range azimuthSteps {
			v := from
			v.Azimuth, v.Elevation = 2*math.Pi*float64(i)/azimuthSteps, e*math.Pi/180
			turn := math.Acos(min(max(r3.Dot(now, towardViewer(v)), -1), 1))
			if turn < least && free(v) {
				best, least = v, turn
			}
		}
	}
	return best
}

func blocked(body *solid.Solid, from, direction r3.Vec) bool {
	_, _, hit := body.Nearest(from, direction)
	return hit
}

// towardViewer points from the part at the viewer.
func towardViewer(v render.View) r3.Vec {
	sa, ca := math.Sincos(v.Azimuth)
	se, ce := math.Sincos(v.Elevation)
	return r3.Vec{X: ce * ca, Y: ce * sa, Z: se}
}

// axesOf returns the directions of the paper of a pictorial view.
func axesOf(v render.View) (right, up r3.Vec) {
	sa, ca := math.Sincos(v.Azimuth)
	right = r3.Vec{X: -sa, Y: ca}
	return right, r3.Cross(towardViewer(v), right)
}
