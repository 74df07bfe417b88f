package sheet

import (
	"math"
	"testing"
	"time"

	"conewright/render"
	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestAPlaceBehindThePartIsTurnedTo(t *testing.T) {
	m := block()
	front := render.View{Azimuth: -60 * math.Pi / 180, Elevation: 24 * math.Pi / 180, Set: true}
	for name, c := range map[string]struct{ at, outward r3.Vec }{
		"the back":      {r3.Vec{X: 125, Y: 120, Z: 8}, r3.Vec{Y: 1}},
		"the left side": {r3.Vec{X: 105, Y: 105, Z: 8}, r3.Vec{X: -1}},
		"the underside": {r3.Vec{X: 125, Y: 105, Z: 0}, r3.Vec{Z: -1}},
	} {
		v := facing(m, c.at, front)
		if r3.Dot(towardViewer(v), c.outward) <= 0 {
			t.Errorf("%s isn't seen from azimuth %.0f, elevation %.0f", name, v.Azimuth*180/math.Pi, v.Elevation*180/math.Pi)
		}
	}
	if v := facing(m, r3.Vec{X: 125, Y: 90, Z: 8}, front); v != front {
		t.Errorf("the front is seen, yet the view turns to %v", v)
	}
}

func TestTurnToSelectsAndTurns(t *testing.T) {
	d := newDesk(t, Edit{})
	at := r3.Vec{X: 125, Y: 120, Z: 8}
	d.input.Findings = []r3.Vec{at}
	d.sheet.Draw(d.input, true)
	item := drawing.Item{Kind: drawing.FindingItem}
	d.sheet.TurnTo(item, at)
	select {
	case f := <-d.queue:
		f()
	case <-time.After(10 * time.Second):
		t.Fatal("it never turned")
	}
	for d.sheet.look.view == firstLook().view {
		(<-d.queue)()
	}
	d.frame()
	if d.sheet.Selected() != item {
		t.Error("it isn't selected")
	}
	f, _ := d.sheet.drawn.FrameOf(drawing.Pictorial)
	if f.Toward.Y <= 0 {
		t.Errorf("the back isn't seen along %v", f.Toward)
	}
	accents := 0
	for _, m := range d.sheet.drawn.Marks {
		if m.Item == item && m.Tone == drawing.Accent {
			accents++
		}
	}
	if accents != 3 {
		t.Errorf("marked in %d views, not in 3", accents)
	}
}
