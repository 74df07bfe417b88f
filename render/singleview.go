package render

import (
	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// shows reports whether a view is on the sheet: all are, unless one is alone.
func (o *Options) shows(v drawing.View) bool {
	return o.Only == drawing.Sheet || o.Only == v
}

// Rooms over and under what a view shows, mm of paper, beside the part itself.
const (
	elevationRooms = roomTitle + roomTop + roomGround
	planRooms      = roomTitle + 2*roomPlan
)

// placeSingle gives elevation or plan the whole sheet but for the title block; it
// returns how far to the right the place goes that reaches down beside that.
func (l *layout) placeSingle(in *Input) float64 {
	lo, hi := l.fit.Min, l.fit.Max
	wide, high, rooms, over := hi.X-lo.X, hi.Z-lo.Z, elevationRooms, roomTitle+roomTop
	if in.Options.Only == drawing.Plan {
		high, rooms, over = hi.Y-lo.Y, planRooms, roomTitle+roomPlan
	}
	place := l.over()
	place.Max.X = l.frame.Max.X - gutter
	reach := l.frame.Min.X
	if beside := l.beside(); beside.fit(wide, high, rooms) > place.fit(wide, high, rooms) {
		place, reach = beside, beside.Max.X
	}
	l.scale = place.fit(wide, high, rooms)
	spare := max(place.Height()-rooms-high*l.scale, 0)
	f := drawing.ViewFrame{View: drawing.Elevation, Rect: place.Rect, Scale: l.scale * in.Flat.Zoom,
		Right: r3.Vec{X: 1}, Up: r3.Vec{Z: 1}, Toward: r3.Vec{Y: -1},
		Focus: r3.Scale(0.5, r3.Add(lo, hi)),
		Origin: r2.Add(in.Flat.Pan, r2.Vec{
			X: place.Center().X + (roomLeft-roomRight)/2,
			Y: place.Min.Y + over + (spare+high*l.scale)/2,
		})}
	l.elevation, l.plan = f, f
	l.plan.View, l.plan.Up, l.plan.Toward = drawing.Plan, r3.Vec{Y: 1}, r3.Vec{Z: 1}
	l.plan.Origin.Y -= 2 * in.Flat.Pan.Y // the plan moves against the elevation
	return reach
}
