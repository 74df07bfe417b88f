package sheet

import (
	"math"
	"testing"

	"conewright/render"
	"conewright/render/drawing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

func TestADoubleClickInTheElevationAddsACut(t *testing.T) {
	var cuts []r3.Vec
	d := newDesk(t, Edit{AddCut: func(at r3.Vec) { cuts = append(cuts, at) }})
	for _, v := range []drawing.View{drawing.Plan, drawing.Pictorial, drawing.Elevation} {
		d.sheet.DoubleTapped(&fyne.PointEvent{Position: d.at(v, r3.Vec{X: 112, Y: 97, Z: 7.5})})
	}
	if len(cuts) != 1 || math.Abs(cuts[0].Z-7.5) > 0.05 {
		t.Fatalf("cuts at %v, not at 7.5", cuts)
	}
	d.input.Cuts = []render.Cut{{Point: r3.Vec{X: 125, Y: 105, Z: 7.5}, Normal: r3.Vec{Z: 1}, Label: "1"}}
	d.sheet.Draw(d.input, true)
	d.frame()
	d.sheet.DoubleTapped(&fyne.PointEvent{Position: d.at(drawing.Elevation, r3.Vec{X: 112, Z: 7.5})})
	if len(cuts) != 1 {
		t.Error("a second cut lies on the first")
	}
}

func TestASecondaryClickAsksForTheMenuAndADragPans(t *testing.T) {
	asked := 0
	d := newDesk(t, Edit{Context: func(_ drawing.Item, _ fyne.Position, _ r3.Vec, v drawing.View) {
		asked++
		if v != drawing.Pictorial {
			t.Errorf("in the %v", v)
		}
	}})
	at := d.at(drawing.Pictorial, r3.Vec{X: 125, Y: 105, Z: 10})
	mouse := func(dx float32, button desktop.MouseButton) *desktop.MouseEvent {
		return &desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: at.AddXY(dx, 0)}, Button: button}
	}
	click := func(dx float32) {
		d.sheet.MouseDown(mouse(0, desktop.MouseButtonSecondary))
		d.sheet.MouseMoved(mouse(dx, desktop.MouseButtonSecondary))
		d.sheet.MouseUp(mouse(dx, desktop.MouseButtonSecondary))
	}
	click(1) // an unsteady hand
	if asked != 1 || d.sheet.look.view.Pan.X != 0 {
		t.Errorf("asked %d times, panned by %v", asked, d.sheet.look.view.Pan)
	}
	click(36)
	if asked != 1 || math.Abs(d.sheet.look.view.Pan.X-36/unitsPerMM) > 1e-6 {
		t.Errorf("asked %d times, panned by %v", asked, d.sheet.look.view.Pan)
	}
	if d.sheet.drag.active {
		t.Error("the pan never ends")
	}
}

func TestADragMovesOncePerFrameAndEndsAtTheNewestPlace(t *testing.T) {
	var moves []float64
	d := newDesk(t, Edit{})
	d.sheet.options.Edit.MoveAxis = func(_ int, p r2.Vec, _ bool) {
		moves = append(moves, p.X)
		d.sheet.Draw(d.input, true) // as the window does
	}
	from := d.at(drawing.Plan, r3.Vec{X: 125, Y: 105})
	d.press(from)
	for i := range 50 {
		d.sheet.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: from.AddXY(float32(i), 0)}})
	}
	if len(moves) > 1 { // selecting asked for a frame, which is still under way
		t.Errorf("moved %d times before a frame was shown", len(moves))
	}
	d.frame()
	f, _ := d.sheet.drawn.FrameOf(drawing.Plan)
	want := 125 + 49/(f.Scale*unitsPerMM)
	if n := len(moves); n == 0 || n > 2 || math.Abs(moves[n-1]-want) > 0.05 {
		t.Errorf("the frames show %v, not %.2f at last", moves, want)
	}
	d.sheet.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: from.AddXY(60, 0)}})
	d.sheet.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: from.AddXY(72, 0)}})
	d.sheet.DragEnd()
	if want += 23 / (f.Scale * unitsPerMM); math.Abs(moves[len(moves)-1]-want) > 0.05 {
		t.Errorf("let go at %.2f, not %.2f", moves[len(moves)-1], want)
	}
}

func TestScrollingAcrossMovesOrTurns(t *testing.T) {
	d := newDesk(t, Edit{})
	scroll := func(v drawing.View) {
		p := d.at(v, r3.Vec{X: 125, Y: 105, Z: 10})
		d.sheet.Scrolled(&fyne.ScrollEvent{PointEvent: fyne.PointEvent{Position: p}, Scrolled: fyne.NewDelta(18, 2)})
	}
	was := d.sheet.look
	scroll(drawing.Plan)
	if pan := d.sheet.look.flat.Pan; math.Abs(pan.X-18/unitsPerMM) > 1e-6 || pan.Y != 0 || d.sheet.look.flat.Zoom != was.flat.Zoom {
		t.Errorf("the plan is panned by %v", pan)
	}
	scroll(drawing.Pictorial)
	if d.sheet.look.view.Azimuth == was.view.Azimuth || d.sheet.look.view.Elevation != was.view.Elevation || d.sheet.look.view.Zoom != was.view.Zoom {
		t.Errorf("the view turned from %+v to %+v", was.view, d.sheet.look.view)
	}
}

func TestOfTwoAxesAtOnePlaceTheSelectedOneIsTaken(t *testing.T) {
	moved := -1
	d := newDesk(t, Edit{MoveAxis: func(zone int, _ r2.Vec, _ bool) { moved = zone }})
	d.input.Zones = append(d.input.Zones, d.input.Zones[0])
	d.sheet.Draw(d.input, true)
	d.frame()
	from := d.at(drawing.Plan, r3.Vec{X: 125, Y: 105})
	for _, zone := range []int{0, 1} {
		d.sheet.Select(drawing.Item{Kind: drawing.AxisItem, Index: zone})
		d.frame()
		d.drag(from, from.AddXY(20, 0))
		d.frame()
		if moved != zone {
			t.Errorf("axis %d moved, not %d", moved, zone)
		}
	}
}

func TestASignClickedAgainIsToldAgain(t *testing.T) {
	var told []drawing.Item
	d := newDesk(t, Edit{Select: func(item drawing.Item) { told = append(told, item) }})
	d.input.MidAir = []r3.Vec{{X: 112, Y: 97, Z: 4}}
	d.sheet.Draw(d.input, true)
	d.frame()
	for range 2 {
		d.press(d.handleOf(drawing.Pictorial, drawing.MidAirItem, 0))
		d.sheet.MouseUp(&desktop.MouseEvent{Button: desktop.MouseButtonPrimary})
	}
	if len(told) != 2 || told[1].Kind != drawing.MidAirItem {
		t.Errorf("%v", told)
	}
}
