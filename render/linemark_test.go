package render_test

import (
	"testing"

	"conewright/render"
	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// TestAPointOfALineIsTakenHoldOfWhereItStands adds a second zone with a line, whose
// points are counted on.
func TestAPointOfALineIsTakenHoldOfWhereItStands(t *testing.T) {
	in := aboutLine()
	second := in.Zones[0]
	second.Name, second.Points = "second", []r2.Vec{{X: 110, Y: 95}}
	in.Zones = append(in.Zones, render.Zone{Name: "level", Mesh: in.Mesh}, second)
	in.Options.Coarse = true
	d := render.Sheet(in)
	f, _ := d.FrameOf(drawing.Plan)
	want := append(in.Zones[0].Points[:3:3], second.Points...)
	found := 0
	for _, h := range d.Handles {
		if h.Item.Kind != drawing.PointItem {
			continue
		}
		found++
		p := want[h.Item.Index]
		if at := f.Paper(r3.Vec{X: p.X, Y: p.Y}); h.View != drawing.Plan || r2.Norm(r2.Sub(at, h.At)) > 1e-9 {
			t.Errorf("point %d is taken hold of at %v of the %v, stands at %v", h.Item.Index, h.At, h.View, at)
		}
	}
	if found != len(want) {
		t.Errorf("%d of %d points can be taken hold of", found, len(want))
	}
	for index, c := range map[int][3]int{0: {0, 0, 1}, 2: {0, 2, 1}, 3: {2, 0, 1}, 4: {}, -1: {}} {
		zone, point, ok := in.PointAt(index)
		if ok != (c[2] == 1) || ok && (zone != c[0] || point != c[1]) {
			t.Errorf("index %d is point %d of zone %d, %v", index, point, zone, ok)
		}
	}
}
