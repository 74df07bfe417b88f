package sheet

import (
	"math"

	"conewright/app/trace"
	"conewright/render"
	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
)

// look is how the drawing is looked at.
type look struct {
	view     render.View
	flat     render.Flat
	hidden   bool // hidden edges
	shells   bool
	only     drawing.View // the view that has the sheet for itself; Sheet: all
	warp     float64
	room     bool // for the part warped all the way: views stay while it warps
	selected drawing.Item
	laid     *render.Laid // by a moment of the motion; nil: the shells are drawn
	head     *render.Head
	fit      *drawing.Fit // of before a part was moved; nil: the parts as they stand
}

// Directions and bounds of looking.
const (
	firstAzimuth   = -60 * math.Pi / 180 // from the front right
	firstElevation = 24 * math.Pi / 180
	mostElevation  = 90 * math.Pi / 180
	leastZoom      = 0.2
	mostZoom       = 60
	turnPerUnit    = 0.5 * math.Pi / 180 // of a drag
)

func firstLook() look {
	return look{
		view:   render.View{Azimuth: firstAzimuth, Elevation: firstElevation, Set: true, Zoom: 1},
		flat:   render.Flat{Zoom: 1},
		hidden: true, shells: true,
	}
}

// apply puts the look into an input.
func (l *look) apply(in *render.Input) {
	in.View, in.Flat, in.Warp = l.view, l.flat, l.warp
	in.Options.WarpRoom = l.room
	in.Options.Hidden = l.hidden
	in.Options.Selected = l.selected
	if l.laid != nil {
		in.Laid = *l.laid
	}
	in.Head = l.head
	in.Options.NoShells = !l.shells
	in.Options.Only = l.only
	in.Options.Fit = l.fit
}

// turn orbits by a drag in units.
func (l *look) turn(dx, dy float64) {
	l.view.Azimuth = math.Remainder(l.view.Azimuth-dx*turnPerUnit, 2*math.Pi)
	l.view.Elevation = min(max(l.view.Elevation+dy*turnPerUnit, -mostElevation), mostElevation)
}

// pan moves a view by mm of paper.
func (l *look) pan(v drawing.View, by r2.Vec) {
	switch v {
	case drawing.Pictorial:
		l.view.Pan = r2.Add(l.view.Pan, by)
	case drawing.Elevation:
		l.flat.Pan = r2.Add(l.flat.Pan, by)
	case drawing.Plan: // moves against the elevation
		l.flat.Pan = r2.Add(l.flat.Pan, r2.Vec{X: by.X, Y: -by.Y})
	}
}

// zoom enlarges the view of a frame by a factor and keeps what is drawn at a
// place of the paper there.
func (l *look) zoom(f *drawing.ViewFrame, at r2.Vec, factor float64) {
	now := &l.flat.Zoom
	if f.View == drawing.Pictorial {
		now = &l.view.Zoom
	}
	next := min(max(*now*factor, leastZoom), mostZoom)
	factor = next / *now
	*now = next
	l.pan(f.View, r2.Scale(factor-1, r2.Sub(f.Origin, at)))
}

// Fit shows all of the part again.
func (s *Sheet) Fit() {
	first := firstLook()
	s.look.view, s.look.flat, s.look.fit = first.view, first.flat, nil
	s.ask(trace.Zoom)
}

// Look turns the pictorial view to a direction, degrees.
func (s *Sheet) Look(azimuth, elevation float64) {
	s.look.view.Azimuth, s.look.view.Elevation = azimuth*math.Pi/180, elevation*math.Pi/180
	s.ask(trace.Orbit)
}

// Hidden reports whether hidden edges are drawn.
func (s *Sheet) Hidden() bool { return s.look.hidden }

// ToggleHidden draws hidden edges, or leaves them out.
func (s *Sheet) ToggleHidden() {
	s.look.hidden = !s.look.hidden
	s.ask(trace.Other)
}

// Shells reports whether shells are drawn.
func (s *Sheet) Shells() bool { return s.look.shells }

// ToggleShells draws shells, or leaves them out.
func (s *Sheet) ToggleShells() {
	s.look.shells = !s.look.shells
	s.ask(trace.Other)
}

// SetWarp draws the part from real (0) to warped (1).
func (s *Sheet) SetWarp(w float64) {
	s.look.warp = min(max(w, 0), 1)
	s.look.room = s.look.room || w > 0
	s.ask(trace.Drag)
}
