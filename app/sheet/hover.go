package sheet

import (
	"conewright/render/drawing"

	"fyne.io/fyne/v2/driver/desktop"
	"gonum.org/v1/gonum/spatial/r2"
)

// tellHover tells what lies under the pointer, or what it holds.
func (s *Sheet) tellHover(p r2.Vec, item drawing.Item) {
	under := Under{Item: item}
	if s.drawn != nil {
		if f, ok := s.drawn.FrameAt(p); ok {
			under.View, under.At = f.View, f.World(p)
		}
	}
	s.setHover(under)
	if s.options.Edit.Hover != nil {
		s.options.Edit.Hover(under)
	}
}

// setHover keeps what is under the pointer: the cursor's shape follows.
func (s *Sheet) setHover(u Under) {
	item, was := u.Item, s.hover
	s.hover = u
	if was.Item != item || was.View != u.View {
		s.options.Trace.Hover(itemNames[item.Kind], cursorNames[s.Cursor()])
	}
}

// MouseIn does nothing; MouseMoved follows.
func (s *Sheet) MouseIn(*desktop.MouseEvent) {}

// MouseOut forgets what was under the pointer.
func (s *Sheet) MouseOut() {
	s.hideRing()
	s.setHover(Under{})
	if s.options.Edit.Hover != nil {
		s.options.Edit.Hover(Under{})
	}
}

// Cursor tells by its shape what can be taken hold of.
func (s *Sheet) Cursor() desktop.Cursor {
	switch s.hover.Item.Kind {
	case drawing.AxisItem, drawing.PointItem, drawing.PartTurnItem, drawing.RampItem:
		if s.hover.View == drawing.Elevation {
			return desktop.HResizeCursor
		}
		return desktop.CrosshairCursor
	case drawing.CutItem, drawing.CutTiltItem:
		if s.steep(s.hover.Item.Index) {
			return desktop.HResizeCursor
		}
		return desktop.VResizeCursor
	case drawing.MidAirItem, drawing.FindingItem, drawing.TitleItem:
		return desktop.PointerCursor
	}
	return desktop.DefaultCursor
}

// steep reports whether a cut is moved to the side rather than up.
func (s *Sheet) steep(cut int) bool {
	return cut >= 0 && cut < len(s.in.Cuts) && s.in.Cuts[cut].Steep()
}

// Names of items and cursors in the trace.
var (
	itemNames = map[drawing.Kind]string{drawing.AxisItem: "axis", drawing.CutItem: "cut", drawing.CutTiltItem: "tilt",
		drawing.MidAirItem: "midair", drawing.FindingItem: "finding", drawing.TitleItem: "title", drawing.PointItem: "point",
		drawing.PartItem: "part", drawing.PartTurnItem: "part-turn", drawing.RampItem: "ramp"}
	cursorNames = map[desktop.Cursor]string{desktop.CrosshairCursor: "crosshair", desktop.VResizeCursor: "up-down",
		desktop.HResizeCursor: "left-right", desktop.PointerCursor: "hand", desktop.DefaultCursor: "arrow"}
)
