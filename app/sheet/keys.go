package sheet

import (
	windowfocus "conewright/app/focus" // focus is a method here
	"conewright/app/trace"
	"conewright/render/drawing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Nudges by the arrow keys, mm.
const (
	nudge     = 0.1
	nudgeMore = 1.0
)

// keyTurn and keyZoom are what a key does to the pictorial view where nothing
// is selected.
const (
	keyTurn = 10 // units of a drag: 5 degrees
	keyZoom = 1.15
)

func (s *Sheet) focus() {
	if c := fyne.CurrentApp().Driver().CanvasForObject(s); c != nil {
		c.Focus(s)
	}
}

// FocusGained shows the focus by the sheet's border.
func (s *Sheet) FocusGained() { s.focused = true; s.Refresh() }

// FocusLost shows that the focus went.
func (s *Sheet) FocusLost() { s.focused, s.shift = false, false; s.Refresh() }

// KeyDown and KeyUp keep whether Shift is held: TypedKey doesn't tell.
func (s *Sheet) KeyDown(e *fyne.KeyEvent) { s.holdShift(e, true) }

// KeyUp is KeyDown's other half.
func (s *Sheet) KeyUp(e *fyne.KeyEvent) { s.holdShift(e, false) }

func (s *Sheet) holdShift(e *fyne.KeyEvent, down bool) {
	if e.Name == desktop.KeyShiftLeft || e.Name == desktop.KeyShiftRight {
		s.shift = down
	}
}

// TypedKey nudges what is selected, or turns the pictorial view.
func (s *Sheet) TypedKey(e *fyne.KeyEvent) {
	way := map[fyne.KeyName]r2.Vec{
		fyne.KeyLeft: {X: -1}, fyne.KeyRight: {X: 1}, fyne.KeyUp: {Y: 1}, fyne.KeyDown: {Y: -1},
	}
	if v, ok := way[e.Name]; ok {
		s.arrow(v)
		return
	}
	switch e.Name {
	case fyne.KeyEscape:
		if s.look.selected.Kind == drawing.Nothing {
			if s.look.only == drawing.Sheet {
				windowfocus.PassOn(s, e)
			}
			s.ShowOnly(drawing.Sheet)
			return
		}
		s.look.selected = drawing.Item{}
		if s.options.Edit.Select != nil {
			s.options.Edit.Select(drawing.Item{})
		}
		s.ask(trace.Other)
	case fyne.KeyHome:
		s.Fit()
	default:
		windowfocus.PassOn(s, e)
	}
}

func (s *Sheet) arrow(v r2.Vec) {
	by := nudge
	if s.shift {
		by = nudgeMore
	}
	edit := s.options.Edit.Nudge
	switch s.look.selected.Kind {
	case drawing.AxisItem, drawing.PointItem, drawing.PartItem:
		if edit != nil {
			edit(s.look.selected, r3.Vec{X: v.X * by, Y: v.Y * by})
		}
	case drawing.CutItem, drawing.CutTiltItem:
		way := v.Y
		if s.steep(s.look.selected.Index) {
			way = v.X
		}
		if edit != nil && way != 0 {
			edit(s.look.selected, r3.Vec{Z: way * by})
		}
	case drawing.PartTurnItem, drawing.RampItem:
		if s.options.Edit.NudgeTurn != nil && v.X != 0 {
			s.options.Edit.NudgeTurn(s.look.selected, -v.X*by*10)
		}
	default:
		s.look.turn(v.X*keyTurn, -v.Y*keyTurn)
		s.ask(trace.Orbit)
	}
}

// directions are the standard ones of the digit keys: from where one looks,
// degrees of azimuth and elevation.
var directions = map[rune][2]float64{
	'1': {-90, 0},  // front
	'2': {0, 0},    // right
	'3': {90, 0},   // back
	'4': {180, 0},  // left
	'5': {-90, 90}, // top
	'6': {-90, -90},
	'7': {-60, 24}, // as at first
}

// aloneKeys are the digit keys that give a view the sheet for itself.
var aloneKeys = map[rune]drawing.View{'8': drawing.Elevation, '9': drawing.Plan, '0': drawing.Pictorial}

// TypedRune turns to a standard direction, gives a view the sheet, or zooms;
// what
// else is typed goes to the window.
func (s *Sheet) TypedRune(r rune) {
	if d, ok := directions[r]; ok {
		s.Look(d[0], d[1])
		return
	}
	if v, ok := aloneKeys[r]; ok {
		s.toggleOnly(v)
		return
	}
	switch r {
	case '+', '-':
		if s.drawn == nil {
			return
		}
		f, ok := s.drawn.FrameOf(drawing.Pictorial)
		if !ok {
			return
		}
		factor := keyZoom
		if r == '-' {
			factor = 1 / keyZoom
		}
		s.look.zoom(f, f.Rect.Center(), factor)
		s.ask(trace.Zoom)
	default:
		windowfocus.PassOnRune(s, r)
	}
}
