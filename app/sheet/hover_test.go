package sheet

import (
	"math"
	"testing"

	"conewright/geom/field"
	"conewright/render"
	"conewright/render/drawing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// handleOf returns where in the widget a handle is taken hold of.
func (d *desk) handleOf(v drawing.View, kind drawing.Kind, end int) fyne.Position {
	d.t.Helper()
	for _, h := range d.sheet.drawn.Handles {
		if h.View == v && h.Item.Kind == kind && h.End == end {
			p := r2.Add(r2.Scale(0.6, h.At), r2.Scale(0.4, h.To))
			return fyne.NewPos(float32(p.X*unitsPerMM), float32(p.Y*unitsPerMM))
		}
	}
	d.t.Fatalf("no such handle in the %v", v)
	return fyne.Position{}
}

func TestTheCursorTellsWhatCanBeTakenHoldOf(t *testing.T) {
	var under Under
	d := newDesk(t, Edit{Hover: func(u Under) { under = u }})
	d.input.Cuts = []render.Cut{{Point: r3.Vec{X: 125, Y: 105, Z: 10}, Normal: r3.Vec{Z: 1}, Label: "1"}}
	d.input.MidAir, d.input.Findings = []r3.Vec{{X: 112, Y: 97, Z: 4}}, []r3.Vec{{X: 138, Y: 97, Z: 16}}
	d.sheet.Draw(d.input, true)
	d.frame()
	empty := d.at(drawing.Plan, r3.Vec{X: 138, Y: 116})
	for _, c := range []struct {
		view   drawing.View
		kind   drawing.Kind
		end    int
		cursor desktop.Cursor
	}{
		{drawing.Plan, drawing.AxisItem, 0, desktop.CrosshairCursor},
		{drawing.Elevation, drawing.AxisItem, 0, desktop.HResizeCursor},
		{drawing.Elevation, drawing.CutItem, 0, desktop.VResizeCursor},
		{drawing.Elevation, drawing.CutTiltItem, 1, desktop.VResizeCursor},
		{drawing.Elevation, drawing.MidAirItem, 0, desktop.PointerCursor},
		{drawing.Pictorial, drawing.FindingItem, 0, desktop.PointerCursor},
		{drawing.Pictorial, drawing.TitleItem, 0, desktop.PointerCursor},
	} {
		p := d.handleOf(c.view, c.kind, c.end)
		d.sheet.MouseMoved(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: p.AddXY(0, 7)}}) // within a forgiving reach
		if got := d.sheet.Cursor(); got != c.cursor || under.Item.Kind != c.kind || under.View != c.view {
			t.Errorf("over %v in the %v: cursor %v, and %+v is under it", c.kind, c.view, got, under)
		}
		d.sheet.MouseMoved(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: empty}})
		if got := d.sheet.Cursor(); got != desktop.DefaultCursor || under.Item != (drawing.Item{}) || math.Abs(under.At.X-138) > 0.2 {
			t.Errorf("beside everything: cursor %v, %+v", got, under)
		}
	}
	d.sheet.MouseOut()
	if under != (Under{}) {
		t.Errorf("the pointer left, and %+v is under it", under)
	}
}

// steepCut puts an upright cut on the desk.
func (d *desk) steepCut() {
	d.input.Cuts = []render.Cut{{Point: r3.Vec{X: 120, Y: 105, Z: 10}, Normal: r3.Vec{X: 1}, Label: "1"}}
	d.sheet.Draw(d.input, true)
	d.frame()
}

func TestAnUprightCutGoesToTheSide(t *testing.T) {
	moved, nudged := 0.0, 0.0
	d := newDesk(t, Edit{MoveCut: func(_ int, by float64) { moved = by }, Nudge: func(_ drawing.Item, by r3.Vec) { nudged += by.Z }})
	d.steepCut()
	from := d.handleOf(drawing.Elevation, drawing.CutItem, 0)
	d.sheet.MouseMoved(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: from}})
	if d.sheet.Cursor() != desktop.HResizeCursor {
		t.Errorf("cursor %v", d.sheet.Cursor())
	}
	f, _ := d.sheet.drawn.FrameOf(drawing.Elevation)
	d.drag(from, from.AddXY(float32(6*f.Scale*unitsPerMM), 0))
	if math.Abs(moved-6) > 0.1 {
		t.Errorf("moved by %.2f mm, not 6", moved)
	}
	d.sheet.TypedKey(&fyne.KeyEvent{Name: fyne.KeyRight})
	d.sheet.TypedKey(&fyne.KeyEvent{Name: fyne.KeyUp}) // along itself: nowhere
	if math.Abs(nudged-nudge) > 1e-9 {
		t.Errorf("nudged by %g mm", nudged)
	}
}

func TestACutsEndIsTiltedTowardThePointer(t *testing.T) {
	turned := 0.0
	d := newDesk(t, Edit{TiltCut: func(_ int, by float64) { turned = by }})
	tilt := func(what string, end int, to r3.Vec, want float64) {
		t.Helper()
		from := d.handleOf(drawing.Elevation, drawing.CutTiltItem, end)
		f, _ := d.sheet.drawn.FrameOf(drawing.Elevation)
		at, about := f.World(d.sheet.onPaper(from)), d.input.Cuts[0].Point
		reach := math.Hypot(at.X-about.X, at.Z-about.Z)
		goal := d.at(drawing.Elevation, r3.Add(about, r3.Scale(reach, r3.Unit(to))))
		d.drag(from, goal)
		if math.Abs(turned-want*math.Pi/180) > 0.01 {
			t.Errorf("%s: turned by %.2f degrees, not %g", what, turned*180/math.Pi, want)
		}
	}
	d.input.Cuts = []render.Cut{{Point: r3.Vec{X: 125, Y: 105, Z: 10}, Normal: r3.Vec{Z: 1}, Label: "1"}}
	d.sheet.Draw(d.input, true)
	d.frame()
	s, c := math.Sincos(12 * math.Pi / 180)
	tilt("right end up", 1, r3.Vec{X: c, Z: s}, 12)
	tilt("left end up", -1, r3.Vec{X: -c, Z: s}, -12)
	d.steepCut()
	for _, h := range d.sheet.drawn.Handles {
		if h.Item.Kind == drawing.CutTiltItem && float32(h.At.Y*unitsPerMM) < d.at(drawing.Elevation, r3.Vec{X: 120, Z: 10}).Y {
			tilt("upright, upper end left", h.End, r3.Vec{X: -s, Z: c}, 12)
		}
	}
}

func TestATitleGivesItsViewTheSheetAndBack(t *testing.T) {
	shown, cuts := 0, 0
	d := newDesk(t, Edit{Shown: func() { shown++ }, AddCut: func(r3.Vec) { cuts++ }})
	for i, v := range []drawing.View{drawing.Elevation, drawing.Plan, drawing.Pictorial} {
		for _, want := range []drawing.View{v, drawing.Sheet} {
			d.sheet.DoubleTapped(&fyne.PointEvent{Position: d.handleOf(v, drawing.TitleItem, 0)})
			d.frame()
			if d.sheet.Only() != want {
				t.Fatalf("%v: %v has the sheet", v, d.sheet.Only())
			}
		}
		d.sheet.TypedRune(rune("890"[i]))
		d.frame()
		if len(d.sheet.drawn.Frames) != 1 || d.sheet.drawn.Frames[0].View != v {
			t.Errorf("%v: %d views are drawn", v, len(d.sheet.drawn.Frames))
		}
		d.sheet.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
		d.frame()
		if d.sheet.Only() != drawing.Sheet || len(d.sheet.drawn.Frames) != 3 {
			t.Errorf("%v: Escape doesn't lead back", v)
		}
	}
	if shown != 12 || cuts != 0 {
		t.Errorf("told %d times, %d cuts", shown, cuts)
	}
}

// TestWorkInAViewAlone holds that hit-testing, dragging, zooming and panning work
// where a view has the sheet, and that what is saved shows the same.
func TestWorkInAViewAlone(t *testing.T) {
	var axis r2.Vec
	var cut []r3.Vec
	d := newDesk(t, Edit{MoveAxis: func(_ int, p r2.Vec, _ bool) { axis = p }, AddCut: func(p r3.Vec) { cut = append(cut, p) }})
	d.sheet.ShowOnly(drawing.Plan)
	d.frame()
	d.drag(d.at(drawing.Plan, r3.Vec{X: 125, Y: 105}), d.at(drawing.Plan, r3.Vec{X: 131, Y: 99}))
	if math.Abs(axis.X-131) > 0.1 || math.Abs(axis.Y-99) > 0.1 {
		t.Errorf("the axis goes to %v", axis)
	}
	before := d.at(drawing.Plan, r3.Vec{X: 110, Y: 100})
	d.sheet.look.pan(drawing.Plan, r2.Vec{X: 5, Y: 7})
	d.sheet.ask("other")
	d.frame()
	if by := d.at(drawing.Plan, r3.Vec{X: 110, Y: 100}).Subtract(before); math.Abs(float64(by.X)-5*unitsPerMM) > 0.1 || math.Abs(float64(by.Y)-7*unitsPerMM) > 0.1 {
		t.Errorf("a pan by 5, 7 mm moves by %v", by)
	}
	d.sheet.ShowOnly(drawing.Elevation)
	d.frame()
	d.sheet.DoubleTapped(&fyne.PointEvent{Position: d.at(drawing.Elevation, r3.Vec{X: 112, Z: 7})})
	if len(cut) != 1 || math.Abs(cut[0].Z-7) > 0.05 {
		t.Errorf("cuts at %v", cut)
	}
	if in := d.sheet.OnPaper(d.input); in.Options.Only != drawing.Elevation {
		t.Errorf("what is saved shows %v", in.Options.Only)
	}
}

// TestTheAxisInTheElevationGoesAcross holds that its depth stays, though another
// zone's axis lies in the section.
func TestTheAxisInTheElevationGoesAcross(t *testing.T) {
	var to r2.Vec
	var zone int
	d := newDesk(t, Edit{MoveAxis: func(i int, p r2.Vec, _ bool) { zone, to = i, p }})
	other := d.input.Zones[0]
	other.Field = field.NewCone(other.Field.Angle(), false, r2.Vec{X: 115, Y: 98}, 0)
	d.input.Zones = []render.Zone{other, d.input.Zones[0]}
	d.sheet.Draw(d.input, true)
	d.frame()
	from := d.handleOf(drawing.Elevation, drawing.AxisItem, 0)
	f, _ := d.sheet.drawn.FrameOf(drawing.Elevation)
	d.drag(from, from.AddXY(float32(-5*f.Scale*unitsPerMM), 9))
	if zone != 0 || math.Abs(to.X-110) > 0.1 || math.Abs(to.Y-98) > 1e-9 {
		t.Errorf("axis %d goes to %v, not axis 0 to 110, 98", zone, to)
	}
}
