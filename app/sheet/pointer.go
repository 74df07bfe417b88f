package sheet

import (
	"math"
	"time"

	"conewright/app/trace"
	"conewright/render/drawing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// drag is what the pointer holds.
type drag struct {
	active bool // it has moved
	button desktop.MouseButton
	item   drawing.Item
	frame  drawing.ViewFrame
	from   r2.Vec // paper
	origin r3.Vec // where the item was
	last   fyne.Position
	free   bool // no snapping
	waits  *waiting
}

// waiting is the newest place of the pointer, which isn't acted on until the
// frame under way is shown: moving an item changes the setup, and all that
// follows from it, more often than anyone sees would only make frames late.
type waiting struct {
	to    fyne.Position
	since time.Time
}

// reachUnits is how near the pointer must come to a handle, in units.
const reachUnits = 9.5

// handleAt returns the nearest handle within reach. A point beats a line, so
// that an axis' centre isn't lost under a cut; of several at one place the one
// that is selected comes first.
func (s *Sheet) handleAt(p r2.Vec) (h drawing.Handle, ok bool) {
	if s.drawn == nil {
		return h, false
	}
	best, reach := math.Inf(1), reachUnits/s.unit()
	for _, c := range s.drawn.Handles {
		if c.Area != nil {
			if !ok && inside(p, c.Area) {
				h, ok = c, true // best stays: any other within reach goes before it
			}
			continue
		}
		d := toSegment(p, c.At, c.To)
		if c.At != c.To {
			d += reach / 2
		}
		if toSegment(p, c.At, c.To) <= reach && (d < best || d == best && c.Item == s.look.selected) {
			best, h, ok = d, c, true
		}
	}
	return h, ok
}

// inside reports whether p lies in a closed convex outline.
func inside(p r2.Vec, outline []r2.Vec) bool {
	var left, right bool
	for i := range len(outline) - 1 {
		turn := r2.Cross(r2.Sub(outline[i+1], outline[i]), r2.Sub(p, outline[i]))
		left, right = left || turn > 0, right || turn < 0
	}
	return left != right
}

// toSegment returns the distance of p from the segment from a to b.
func toSegment(p, a, b r2.Vec) float64 {
	ab := r2.Sub(b, a)
	t := 0.0
	if n := r2.Norm2(ab); n > 0 {
		t = min(max(r2.Dot(r2.Sub(p, a), ab)/n, 0), 1)
	}
	return r2.Norm(r2.Sub(p, r2.Add(a, r2.Scale(t, ab))))
}

// MouseDown takes hold of a handle or of a view.
func (s *Sheet) MouseDown(e *desktop.MouseEvent) {
	s.focus()
	s.drag = drag{button: e.Button, last: e.Position, from: s.onPaper(e.Position), free: e.Modifier&fyne.KeyModifierAlt != 0}
	if s.drawn == nil {
		return
	}
	if f, ok := s.drawn.FrameAt(s.drag.from); ok {
		s.drag.frame = *f
	}
	if h, ok := s.handleAt(s.drag.from); ok && h.Item.Kind != drawing.TitleItem {
		if f, found := s.drawn.FrameOf(h.View); found {
			s.drag.frame = *f
		}
		s.drag.item = h.Item
		s.drag.origin = s.origin(h)
	}
	if e.Button == desktop.MouseButtonSecondary {
		return // a menu or a pan: that shows by what follows
	}
	s.choose(s.drag.item)
}

// origin returns where an item is that is taken hold of by a handle: an axis
// stands where its zone says, though the elevation shows no depth.
func (s *Sheet) origin(h drawing.Handle) r3.Vec {
	if i := h.Item.Index; h.Item.Kind == drawing.AxisItem && i < len(s.in.Zones) {
		axis, ok := s.in.Zones[i].Field.Axis()
		if ok {
			return r3.Vec{X: axis.X, Y: axis.Y}
		}
	}
	if h.Item.Kind == drawing.RampItem { // it turns about the arrow's middle
		return s.drag.frame.World(r2.Scale(0.5, r2.Add(h.At, h.To)))
	}
	if h.Item.Kind == drawing.PartTurnItem { // it turns about the part's middle
		for _, c := range s.drawn.Handles {
			if c.Item == (drawing.Item{Kind: drawing.PartItem, Index: h.Item.Index}) {
				return s.drag.frame.World(c.At)
			}
		}
	}
	return s.drag.frame.World(h.At)
}

// choose selects what was pressed on. Pressing beside everything in a view
// keeps the selection, since that is also how views are turned.
func (s *Sheet) choose(item drawing.Item) {
	if item.Kind == drawing.Nothing {
		return
	}
	again := item == s.look.selected
	s.look.selected = item
	if s.options.Edit.Select != nil { // again, too: another page may have been opened since
		s.options.Edit.Select(item)
	}
	if !again {
		s.ask(trace.Other)
	}
}

// MouseUp lets go; it is lost outside the widget, where DragEnd comes instead.
func (s *Sheet) MouseUp(e *desktop.MouseEvent) {
	d := s.drag
	if d.active && d.button != desktop.MouseButtonSecondary {
		return // DragEnd follows
	}
	s.drag = drag{}
	switch {
	case d.active: // the end of a pan
		s.ask(trace.Drag)
	case d.button == desktop.MouseButtonSecondary && s.options.Edit.Context != nil && d.frame.View != drawing.Sheet:
		s.options.Edit.Context(d.item, e.AbsolutePosition, d.frame.World(d.from), d.frame.View)
	case d.button == desktop.MouseButtonPrimary && s.options.Edit.Click != nil && d.frame.View != drawing.Sheet:
		s.options.Edit.Click(Under{View: d.frame.View, At: d.frame.World(d.from), Item: d.item})
	}
}

// DoubleTapped gives the view of a title the sheet, and adds a cut at a height of
// the elevation.
func (s *Sheet) DoubleTapped(e *fyne.PointEvent) {
	if s.drawn == nil {
		return
	}
	p := s.onPaper(e.Position)
	if h, held := s.handleAt(p); held {
		if h.Item.Kind == drawing.TitleItem {
			s.toggleOnly(h.View)
		}
		return
	}
	if f, ok := s.drawn.FrameAt(p); ok && f.View == drawing.Elevation && s.options.Edit.AddCut != nil {
		s.options.Edit.AddCut(f.World(p))
	}
}

// Dragged moves what the pointer holds.
func (s *Sheet) Dragged(e *fyne.DragEvent) {
	s.moveRing(e.Position)
	s.move(e.Position)
}

func (s *Sheet) move(to fyne.Position) {
	d := &s.drag
	if s.drawn == nil || d.frame.View == drawing.Sheet {
		return
	}
	dx, dy := float64(to.X-d.last.X), float64(to.Y-d.last.Y)
	if k := d.item.Kind; !d.active && d.button == desktop.MouseButtonPrimary && (k == drawing.PartItem || k == drawing.PartTurnItem) {
		fit := s.drawn.Fit
		s.look.fit = &fit // the bed stays where it is drawn, and the part moves
	}
	d.last, d.active = to, true
	switch {
	case d.item.Kind != drawing.Nothing && d.button == desktop.MouseButtonPrimary:
		d.waits = &waiting{to, time.Now()}
		if s.seen == s.asked {
			s.moveOn()
		}
	case d.frame.View == drawing.Pictorial && d.button == desktop.MouseButtonPrimary:
		s.look.turn(dx, dy)
		s.ask(trace.Orbit)
	default:
		s.look.pan(d.frame.View, r2.Scale(1/s.unit(), r2.Vec{X: dx, Y: dy}))
		s.ask(trace.Drag)
	}
}

// moveOn moves the held item to the newest place of the pointer, if that waits.
func (s *Sheet) moveOn() {
	w := s.drag.waits
	if w == nil || s.drawn == nil {
		return
	}
	s.drag.waits = nil
	s.since = w.since
	s.tellHover(s.onPaper(w.to), s.drag.item)
	s.moveItem(s.onPaper(w.to))
	if s.stale { // the move was refused, and what came meanwhile waits
		s.ask(trace.Drag)
	}
	s.since = time.Time{}
}

// moveItem tells where the held item goes; the new drawing comes back by Draw.
func (s *Sheet) moveItem(p r2.Vec) {
	d, edit := &s.drag, &s.options.Edit
	by := r3.Sub(d.frame.World(p), d.frame.World(d.from))
	switch d.item.Kind {
	case drawing.AxisItem:
		if edit.MoveAxis != nil {
			to := r3.Add(d.origin, by)
			edit.MoveAxis(d.item.Index, r2.Vec{X: to.X, Y: to.Y}, d.free)
		}
	case drawing.PointItem:
		if edit.MovePoint != nil {
			to := r3.Add(d.origin, by)
			edit.MovePoint(d.item.Index, r2.Vec{X: to.X, Y: to.Y}, d.free)
		}
	case drawing.CutItem:
		if edit.MoveCut != nil {
			if s.steep(d.item.Index) {
				by.Z = by.X
			}
			edit.MoveCut(d.item.Index, by.Z)
		}
	case drawing.PartItem:
		if edit.MovePart != nil {
			edit.MovePart(d.item.Index, r2.Vec{X: by.X, Y: by.Y}, d.free)
		}
	case drawing.PartTurnItem:
		if edit.TurnPart != nil {
			edit.TurnPart(d.item.Index, d.turned(by), d.free)
		}
	case drawing.RampItem:
		if edit.TurnRamp != nil {
			edit.TurnRamp(d.item.Index, d.turned(by), d.free)
		}
	case drawing.CutTiltItem:
		if edit.TiltCut != nil {
			from := d.frame.World(d.from)
			edit.TiltCut(d.item.Index, s.turned(d.item.Index, from, r3.Add(from, by)))
		}
	}
}

// turned returns by which angle the pointer has turned about where the item was,
// radians, when it has moved by so much.
func (d *drag) turned(by r3.Vec) float64 {
	from := d.frame.World(d.from)
	return math.Remainder(azimuth(r3.Add(from, by), d.origin)-azimuth(from, d.origin), 2*math.Pi)
}

// azimuth returns in which direction a place lies from a middle, radians.
func azimuth(p, middle r3.Vec) float64 { return math.Atan2(p.Y-middle.Y, p.X-middle.X) }

// turned returns by which angle a place turns about a cut's point in the
// elevation, radians, counter-clockwise.
func (s *Sheet) turned(cut int, from, to r3.Vec) float64 {
	if cut < 0 || cut >= len(s.in.Cuts) {
		return 0
	}
	about := s.in.Cuts[cut].Point
	angle := func(p r3.Vec) float64 { return math.Atan2(p.Z-about.Z, p.X-about.X) }
	return math.Remainder(angle(to)-angle(from), 2*math.Pi)
}

// DragEnd ends a drag as one step.
func (s *Sheet) DragEnd() {
	s.moveOn()
	item, active := s.drag.item, s.drag.active
	s.drag = drag{}
	if active && item.Kind != drawing.Nothing && s.options.Edit.Done != nil {
		s.options.Edit.Done(item)
	}
	s.ask(trace.Drag) // in full, after a coarse one
}

// Scrolled zooms at the pointer; what a touchpad or a tilted wheel scrolls across
// moves a flat view and turns the pictorial one.
func (s *Sheet) Scrolled(e *fyne.ScrollEvent) {
	p := s.onPaper(e.Position)
	if s.drawn == nil {
		return
	}
	f, ok := s.drawn.FrameAt(p)
	if !ok {
		return
	}
	if across := float64(e.Scrolled.DX); math.Abs(across) > math.Abs(float64(e.Scrolled.DY)) {
		s.slide(f.View, across)
		return
	}
	s.look.zoom(f, p, math.Exp(float64(e.Scrolled.DY)*zoomPerUnit))
	s.ask(trace.Zoom)
}

// slide moves or turns a view by a scroll across, in units.
func (s *Sheet) slide(v drawing.View, across float64) {
	if v == drawing.Pictorial {
		s.look.turn(across, 0)
		s.ask(trace.Orbit)
		return
	}
	s.look.pan(v, r2.Vec{X: across / s.unit()})
	s.ask(trace.Zoom)
}

// zoomPerUnit makes a notch of a usual wheel (10 to 25 units) 10 to 25 %.
const zoomPerUnit = 0.01

// panFrom keeps a click of an unsteady hand a click, in units.
const panFrom = 4

// MouseMoved shows what is under the pointer, and pans by the secondary button,
// whose drags reach no Dragged.
func (s *Sheet) MouseMoved(e *desktop.MouseEvent) {
	s.moveRing(e.Position)
	s.drag.free = e.Modifier&fyne.KeyModifierAlt != 0
	if e.Button == desktop.MouseButtonSecondary && s.drag.button == desktop.MouseButtonSecondary {
		if d := e.Position.Subtract(s.drag.last); s.drag.active || math.Hypot(float64(d.X), float64(d.Y)) >= panFrom {
			s.move(e.Position)
		}
		return
	}
	p := s.onPaper(e.Position)
	item := drawing.Item{}
	if h, ok := s.handleAt(p); ok {
		item = h.Item
	}
	s.tellHover(p, item)
}
