package sheet

import (
	"math"
	"testing"
	"time"

	"conewright/geom/mesh"
	"conewright/render/drawing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

func TestASmallWindowOfFinePixelsDrawsASmallerSheet(t *testing.T) {
	d := newDesk(t, Edit{})
	if u := d.sheet.unit(); u != unitsPerMM {
		t.Errorf("a usual window draws %g units a mm", u)
	}
	test.WidgetRenderer(d.sheet) // laid out by hand from here on
	d.sheet.Resize(fyne.NewSize(480, 380))
	for density, want := range map[int]float64{1: leastPixels, 2: 480 / leastWidth} {
		d.sheet.picture(480*density, 380*density)
		d.frame()
		if u := d.sheet.unit(); math.Abs(u-want) > 1e-9 {
			t.Errorf("%d pixels a unit: %g units a mm, not %g", density, u, want)
		}
		if w := d.sheet.drawn.Size.X; math.Abs(w-480/want) > 1e-6 {
			t.Errorf("%d pixels a unit: the sheet is %g mm wide", density, w)
		}
		f, _ := d.sheet.drawn.FrameOf(drawing.Elevation)
		at := f.Paper(r3.Vec{X: 125, Z: 10})
		p := fyne.NewPos(float32(at.X*want), float32(at.Y*want))
		if back := f.World(d.sheet.onPaper(p)); math.Abs(back.X-125) > 1e-3 || math.Abs(back.Z-10) > 1e-3 {
			t.Errorf("%d pixels a unit: the pointer is at %v", density, back)
		}
	}
}

// grid is a flat box with a top of so many facets.
func grid(n int) *mesh.Mesh {
	m := &mesh.Mesh{}
	for j := range n + 1 {
		for i := range n + 1 {
			m.Vertices = append(m.Vertices, r3.Vec{X: 105 + 40*float64(i)/float64(n), Y: 90 + 30*float64(j)/float64(n), Z: 5})
		}
	}
	for j := range int32(n) {
		for i := range int32(n) {
			a := j*int32(n+1) + i
			m.Facets = append(m.Facets, [3]int32{a, a + 1, a + int32(n) + 2}, [3]int32{a, a + int32(n) + 2, a + int32(n) + 1})
		}
	}
	return m
}

func TestALargePartIsDrawnInFullOnceThePointerRests(t *testing.T) {
	d := newDesk(t, Edit{})
	d.input.Mesh = grid(320) // 204,800 facets
	d.input.Zones = nil
	d.sheet.Draw(d.input, true)
	d.frame()
	f, _ := d.sheet.drawn.FrameOf(drawing.Pictorial)
	c := r2.Scale(unitsPerMM, r2.Sub(f.Rect.Max, r2.Vec{X: 8, Y: 8}))
	from := fyne.NewPos(float32(c.X), float32(c.Y))
	d.press(from)
	d.sheet.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{Position: from.AddXY(-20, 0)}})
	coarse := d.sheet.asked
	d.frame()
	begun := time.Now()
	for d.sheet.asked == coarse {
		select {
		case f := <-d.queue:
			f()
		case <-time.After(10 * time.Second):
			t.Fatal("the full picture never comes")
		}
	}
	if waited := time.Since(begun); waited < restAfter/2 {
		t.Errorf("it came after %v, while the pointer may still move", waited)
	}
	d.frame()
	asked := d.sheet.asked
	time.Sleep(2 * restAfter)
	if len(d.queue) > 0 || d.sheet.asked != asked {
		t.Error("it is drawn again and again while the pointer rests")
	}
}
