package sheet

import (
	"math"
	"testing"
	"time"

	"conewright/geom/field"
	"conewright/geom/mesh"
	"conewright/render"
	"conewright/render/drawing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// block is a box of 40 x 30 x 20 mm on the bed, its middle at (125, 105).
func block() *mesh.Mesh {
	m := &mesh.Mesh{}
	for i := range 8 {
		m.Vertices = append(m.Vertices, r3.Vec{
			X: 105 + 40*float64(i&1), Y: 90 + 30*float64(i>>1&1), Z: 20 * float64(i>>2&1)})
	}
	for _, q := range [][4]int32{{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4}, {1, 3, 7, 5}, {3, 2, 6, 7}, {2, 0, 4, 6}} {
		m.Facets = append(m.Facets, [3]int32{q[0], q[1], q[2]}, [3]int32{q[0], q[2], q[3]})
	}
	return m
}

// desk is a sheet in a window of the test driver, with a queue for its event
// loop.
type desk struct {
	t     *testing.T
	sheet *Sheet
	win   fyne.Window
	queue chan func()
	input render.Input
}

func newDesk(t *testing.T, edit Edit) *desk {
	t.Helper()
	test.NewTempApp(t)
	d := &desk{t: t, queue: make(chan func(), 100)}
	d.sheet = New(Options{Post: func(f func()) { d.queue <- f }, Edit: edit})
	d.win = test.NewWindow(d.sheet)
	t.Cleanup(d.win.Close)
	d.win.SetPadded(false)
	d.win.Resize(fyne.NewSize(960, 700))
	d.input = render.Input{
		Mesh:  block(),
		Zones: []render.Zone{{Name: "part", Field: field.NewCone(math.Pi/4, false, r2.Vec{X: 125, Y: 105}, 0)}},
	}
	d.sheet.Draw(d.input, true)
	d.win.Canvas().Capture() // asks for the picture, as painting does
	d.frame()
	return d
}

// frame waits until the newest frame is shown.
func (d *desk) frame() {
	d.t.Helper()
	for !d.sheet.frames.Idle() || len(d.queue) > 0 {
		select {
		case f := <-d.queue:
			f()
		case <-time.After(time.Millisecond):
		}
	}
	if d.sheet.drawn == nil {
		d.t.Fatal("nothing was drawn")
	}
}

// at returns the place in the widget of a point of the bed in a view.
func (d *desk) at(v drawing.View, p r3.Vec) fyne.Position {
	d.t.Helper()
	f, ok := d.sheet.drawn.FrameOf(v)
	if !ok {
		d.t.Fatalf("no %v", v)
	}
	q := f.Paper(p)
	return fyne.NewPos(float32(q.X*unitsPerMM), float32(q.Y*unitsPerMM))
}

func (d *desk) press(p fyne.Position) {
	d.sheet.MouseDown(&desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: p}, Button: desktop.MouseButtonPrimary})
}

func (d *desk) drag(from, to fyne.Position) {
	d.press(from)
	const steps = 4
	for i := 1; i <= steps; i++ {
		k := float32(i) / steps
		p := fyne.NewPos(from.X+(to.X-from.X)*k, from.Y+(to.Y-from.Y)*k)
		d.sheet.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: p}})
	}
	d.sheet.DragEnd()
}

func TestDraggingTheAxisInPlanTellsWhereItGoes(t *testing.T) {
	var to r2.Vec
	var done drawing.Item
	d := newDesk(t, Edit{
		MoveAxis: func(zone int, p r2.Vec, _ bool) { to = p },
		Done:     func(item drawing.Item) { done = item },
	})
	from := d.at(drawing.Plan, r3.Vec{X: 125, Y: 105})
	d.drag(from, d.at(drawing.Plan, r3.Vec{X: 135, Y: 101}))
	if math.Abs(to.X-135) > 0.1 || math.Abs(to.Y-101) > 0.1 {
		t.Errorf("the axis goes to %v, not to 135, 101", to)
	}
	if done != (drawing.Item{Kind: drawing.AxisItem}) {
		t.Errorf("the drag ended as one of %v", done)
	}
}

func TestDraggingACutInElevationTellsByHowMuch(t *testing.T) {
	moved := 0.0
	d := newDesk(t, Edit{MoveCut: func(cut int, by float64) { moved = by }})
	d.input.Cuts = []render.Cut{{Point: r3.Vec{X: 125, Y: 105, Z: 10}, Normal: r3.Vec{Z: 1}, Label: "1"}}
	d.sheet.Draw(d.input, true)
	d.frame()
	var h *drawing.Handle
	for i, c := range d.sheet.drawn.Handles {
		if c.Item.Kind == drawing.CutItem && c.View == drawing.Elevation {
			h = &d.sheet.drawn.Handles[i]
		}
	}
	if h == nil {
		t.Fatal("the cut has no handle in the elevation")
	}
	f, _ := d.sheet.drawn.FrameOf(drawing.Elevation)
	grip := r2.Add(r2.Scale(0.7, h.At), r2.Scale(0.3, h.To))
	from := fyne.NewPos(float32(grip.X*unitsPerMM), float32(grip.Y*unitsPerMM))
	d.drag(from, fyne.NewPos(from.X, from.Y-float32(4*f.Scale*unitsPerMM)))
	if math.Abs(moved-4) > 0.1 {
		t.Errorf("the cut moved by %.2f mm, not 4", moved)
	}
}

func TestDraggingThePictorialViewTurnsIt(t *testing.T) {
	d := newDesk(t, Edit{})
	f, _ := d.sheet.drawn.FrameOf(drawing.Pictorial)
	was := *f
	c := f.Rect.Max // a corner: nothing to take hold of
	from := fyne.NewPos(float32((c.X-8)*unitsPerMM), float32((c.Y-8)*unitsPerMM))
	d.drag(from, fyne.NewPos(from.X-80, from.Y))
	d.frame()
	f, _ = d.sheet.drawn.FrameOf(drawing.Pictorial)
	if turned := math.Acos(min(r3.Dot(f.Right, was.Right), 1)) * 180 / math.Pi; math.Abs(turned-40) > 1 {
		t.Errorf("turned by %.1f degrees, not 40", turned)
	}
}

func TestTheWheelZoomsAtThePointer(t *testing.T) {
	for _, v := range []drawing.View{drawing.Plan, drawing.Elevation, drawing.Pictorial} {
		d := newDesk(t, Edit{})
		p := d.at(v, r3.Vec{X: 140, Y: 95, Z: 5})
		f, _ := d.sheet.drawn.FrameOf(v)
		before, scale := f.World(d.sheet.onPaper(p)), f.Scale
		d.sheet.Scrolled(&fyne.ScrollEvent{PointEvent: fyne.PointEvent{Position: p}, Scrolled: fyne.NewDelta(0, 40)})
		d.frame()
		f, _ = d.sheet.drawn.FrameOf(v)
		if f.Scale <= scale {
			t.Errorf("%v: scale %g after %g", v, f.Scale, scale)
		}
		after := f.World(d.sheet.onPaper(p))
		if off := r3.Norm(r3.Sub(after, before)); off > 0.05 {
			t.Errorf("%v: what was under the pointer moved by %.2f mm", v, off)
		}
	}
}

func TestArrowKeysNudgeWhatIsSelected(t *testing.T) {
	var by []r3.Vec
	d := newDesk(t, Edit{Nudge: func(_ drawing.Item, v r3.Vec) { by = append(by, v) }})
	d.sheet.Select(drawing.Item{Kind: drawing.AxisItem})
	d.sheet.TypedKey(&fyne.KeyEvent{Name: fyne.KeyRight})
	d.sheet.KeyDown(&fyne.KeyEvent{Name: desktop.KeyShiftLeft})
	d.sheet.TypedKey(&fyne.KeyEvent{Name: fyne.KeyDown})
	d.sheet.KeyUp(&fyne.KeyEvent{Name: desktop.KeyShiftLeft})
	d.sheet.Select(drawing.Item{Kind: drawing.CutItem})
	d.sheet.TypedKey(&fyne.KeyEvent{Name: fyne.KeyUp})
	d.sheet.TypedKey(&fyne.KeyEvent{Name: fyne.KeyLeft}) // a cut goes up and down only
	want := []r3.Vec{{X: nudge}, {Y: -nudgeMore}, {Z: nudge}}
	if len(by) != len(want) {
		t.Fatalf("%v", by)
	}
	for i := range want {
		if by[i] != want[i] {
			t.Errorf("nudge %d is %v, not %v", i, by[i], want[i])
		}
	}
}

func TestNothingIsDrawnWhileNothingMoves(t *testing.T) {
	d := newDesk(t, Edit{})
	shown := d.sheet.shown
	for range 3 {
		d.win.Canvas().Capture()
	}
	select {
	case <-d.queue:
		t.Error("a frame was drawn without a reason")
	case <-time.After(100 * time.Millisecond):
	}
	if d.sheet.shown != shown {
		t.Error("another picture is shown")
	}
}
