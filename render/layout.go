package render

import (
	"math"

	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// layout is where everything goes.
type layout struct {
	frame                      drawing.Rect // the sheet's inner frame
	block                      drawing.Rect // the title block
	elevation, plan, pictorial drawing.ViewFrame
	noKey                      bool    // it is left out with the frame
	scale                      float64 // of elevation and plan
	key                        keyPlace
	fit                        drawing.Fit
}

// Rooms round the flat views, mm of paper: for dimensions, cut marks, titles.
const (
	roomLeft   = 22.
	roomRight  = 21.
	roomTitle  = 6.
	roomTop    = 13. // over the part: axis and angle
	roomGround = 15. // under the part: width
	roomPlan   = 9.  // over and under the plan: section marks
	gutter     = 6.  // between columns and to the frame
)

// The margins between the sheet's edges and its frame, mm: 20 at the left, where
// sheets are filed, 10 elsewhere (ISO 5457, from memory). Sheets smaller than A4, as
// in a window, have narrower ones: a share of their lesser side.
const (
	filingMargin = 20.0
	edgeMargin   = 10.0
	marginShare  = edgeMargin / 210
	screenMargin = 0.4 // of the margin on paper
)

const (
	usualAzimuth   = -58 * math.Pi / 180
	usualElevation = 26 * math.Pi / 180
)

func newLayout(in *Input, m *model) *layout {
	l := &layout{fit: fitOf(in, m), noKey: in.Options.NoFrame}
	size := in.Options.Size
	margin := min(marginShare*min(size.X, size.Y), edgeMargin)
	filing := margin * filingMargin / edgeMargin
	if in.Options.Screen {
		margin *= screenMargin
		filing = margin
	}
	if in.Options.NoFrame {
		margin, filing = 0, 0
	}
	l.frame = drawing.Rect{Min: r2.Vec{X: filing, Y: margin}, Max: r2.Sub(size, r2.Vec{X: margin, Y: margin})}
	l.placeBlock(in)
	if alone := in.Options.Only; alone == drawing.Elevation || alone == drawing.Plan {
		l.placeKey(in, max(l.placeSingle(in), l.afterScaleBar()))
		l.elevation.Rect, l.plan.Rect = l.clearOfKey(l.elevation.Rect), l.clearOfKey(l.plan.Rect)
		return l
	}
	column := l.placeFlat(in)
	if in.Options.Only == drawing.Pictorial {
		column = l.frame.Min.X + gutter/2
		l.placeKey(in, column)
	} else {
		x := l.afterScaleBar()
		if column < l.block.Min.X { // else elevation and plan lie over the block
			x = max(x, column)
		}
		l.placeKey(in, x)
		l.plan.Rect = l.clearOfKey(l.plan.Rect)
	}
	l.placePictorial(in, m, column)
	return l
}

// fitOf returns what elevation and plan are fitted to.
func fitOf(in *Input, m *model) drawing.Fit {
	if in.Options.Fit != nil {
		return *in.Options.Fit
	}
	hi := m.solid.Max
	hi.Z = m.most
	return drawing.Fit{Min: m.solid.Min, Max: hi}
}

// placeBlock puts the title block into the lower right corner.
func (l *layout) placeBlock(in *Input) {
	w := min(max(blockShare*l.frame.Width(), leastBlock), mostBlock, 0.6*l.frame.Width())
	h := min(blockHeight, 0.4*l.frame.Height())
	if in.Options.NoFrame {
		h = 0
	}
	l.block = drawing.Rect{Min: r2.Sub(l.frame.Max, r2.Vec{X: w, Y: h}), Max: l.frame.Max}
}

// placeFlat chooses the scale and places elevation and plan in the left
// column; it returns the column's right side.
func (l *layout) placeFlat(in *Input) float64 {
	lo, hi := l.fit.Min, l.fit.Max
	w, d, h := hi.X-lo.X, hi.Y-lo.Y, hi.Z-lo.Z
	room := l.beside()
	l.scale = room.fit(w, h+d, flatRooms)
	if over := l.over(); over.fit(w, h+d, flatRooms) > l.scale {
		room, l.scale = over, over.fit(w, h+d, flatRooms)
	}
	width := max(w*l.scale+roomLeft+roomRight, 0.36*l.frame.Width())
	width = min(width, room.Width())
	scale := l.scale * in.Flat.Zoom
	spare := max(room.Height()-flatRooms-(h+d)*l.scale, 0)
	x := room.Min.X + roomLeft + (width-roomLeft-roomRight)/2
	top := room.Min.Y + roomTitle + roomTop + spare*0.3
	ground := top + h*l.scale
	planTop := ground + roomGround + roomTitle + roomPlan + spare*0.3
	split := ground + roomGround + spare*0.12
	l.elevation = drawing.ViewFrame{View: drawing.Elevation,
		Rect:  drawing.Rect{Min: room.Min, Max: r2.Vec{X: room.Min.X + width, Y: split}},
		Right: r3.Vec{X: 1}, Up: r3.Vec{Z: 1}, Toward: r3.Vec{Y: -1},
		Focus:  r3.Scale(0.5, r3.Add(lo, hi)),
		Origin: r2.Add(r2.Vec{X: x, Y: (top + ground) / 2}, in.Flat.Pan), Scale: scale}
	l.plan = l.elevation
	l.plan.View, l.plan.Up, l.plan.Toward = drawing.Plan, r3.Vec{Y: 1}, r3.Vec{Z: 1}
	l.plan.Rect = drawing.Rect{Min: r2.Vec{X: room.Min.X, Y: split}, Max: r2.Vec{X: room.Min.X + width, Y: room.Max.Y}}
	l.plan.Origin = r2.Add(r2.Vec{X: x, Y: planTop + d*l.scale/2}, r2.Vec{X: in.Flat.Pan.X, Y: -in.Flat.Pan.Y})
	return room.Min.X + width
}

// room is a place for elevation and plan.
type room struct{ drawing.Rect }

// beside returns the room beside the title block.
func (l *layout) beside() room {
	return room{drawing.Rect{
		Min: r2.Add(l.frame.Min, r2.Vec{X: gutter, Y: gutter * 0.6}),
		Max: r2.Vec{X: l.block.Min.X - gutter, Y: l.frame.Max.Y - gutter},
	}}
}

// over returns the room over the title block, wider and lower.
func (l *layout) over() room {
	r := l.beside()
	r.Max = r2.Vec{X: max(l.frame.Min.X+overShare*l.frame.Width(), r.Max.X), Y: l.block.Min.Y - gutter/2}
	return r
}

// overShare is the share of the sheet's width that elevation and plan may take
// from the pictorial view.
const overShare = 0.58

// flatRooms is the height that elevation and plan take beside the part itself.
const flatRooms = roomTitle + roomTop + roomGround + roomTitle + 2*roomPlan

// fit returns the greatest scale of ISO 5455 at which w by h goes into the
// room beside what else goes over and under it, or the least there is.
func (r room) fit(w, h, rooms float64) float64 {
	for _, s := range scales {
		if w*s <= r.Width()-roomLeft-roomRight && h*s <= r.Height()-rooms {
			return s
		}
	}
	return scales[len(scales)-1]
}

// pictorialFill is the share of its place that the pictorial view takes, so
// that the axis and the head have room.
const pictorialFill = 0.86

func (l *layout) placePictorial(in *Input, m *model, column float64) {
	r := drawing.Rect{
		Min: r2.Vec{X: column + gutter/2, Y: l.frame.Min.Y + gutter*0.6},
		Max: r2.Vec{X: l.frame.Max.X - gutter, Y: l.block.Min.Y - gutter/2},
	}
	if l.key.onBlock { // where it would take much of the view's height
		r = l.clearOfKey(r)
	}
	toward, right, up := directions(in.View.Azimuth, in.View.Elevation)
	scale := 1.0
	if m.radius > 0 {
		fill := pictorialFill
		if in.Options.Only == drawing.Pictorial { // nothing stands beside it
			fill = 1
		}
		scale = fill * min(r.Width(), r.Height()-roomTitle) / (2 * m.radius)
	}
	l.pictorial = drawing.ViewFrame{View: drawing.Pictorial, Rect: r, Right: right, Up: up, Toward: toward,
		Focus:  m.middle(),
		Origin: r2.Add(r2.Add(r.Center(), r2.Vec{Y: roomTitle / 2}), in.View.Pan),
		Scale:  scale * in.View.Zoom}
	l.pictorial.Rect = l.clearOfKey(r)
}

// directions returns the axes of a view from azimuth and elevation, radians.
func directions(azimuth, elevation float64) (toward, right, up r3.Vec) {
	sa, ca := math.Sincos(azimuth)
	se, ce := math.Sincos(elevation)
	toward = r3.Vec{X: ce * ca, Y: ce * sa, Z: se}
	right = r3.Vec{X: -sa, Y: ca}
	return toward, right, r3.Cross(toward, right)
}
