package window

import (
	"math"
	"testing"

	"conewright/app/session"
	"conewright/geom/job"
	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

func names(s *job.Setup) string {
	text := ""
	for _, l := range s.Zones.Leaves() {
		text += l.Name + " "
	}
	return text
}

func TestCutsAreAddedWhereOneClicksAndRemovedOneByOne(t *testing.T) {
	b := newBench(t)
	b.openPart()
	edit := b.editOnSheet()
	edit.AddCut(r3.Vec{X: 125, Y: 105, Z: 4})
	edit.AddCut(r3.Vec{X: 125, Y: 105, Z: 2.04})
	edit.AddCut(r3.Vec{X: 125, Y: 105, Z: 5})
	edit.AddCut(r3.Vec{X: 125, Y: 105, Z: 60}) // beside the part
	heights := func() (h []float64) {
		for i := 0; cutNumber(b.session.Setup(), i) != nil; i++ {
			h = append(h, cutNumber(b.session.Setup(), i).Point[2])
		}
		return h
	}
	same := func(want ...float64) {
		t.Helper()
		got := heights()
		if len(got) != len(want) || len(b.session.Setup().Zones.Leaves()) != len(want)+1 {
			t.Fatalf("cuts at %v, zones %s", got, names(b.session.Setup()))
		}
		for i := range want {
			if math.Abs(got[i]-want[i]) > 1e-9 {
				t.Errorf("cuts at %v, not %v", got, want)
			}
		}
	}
	same(2, 4, 5)
	bottom := b.session.Setup().Zones.Leaves()[0].Name
	b.onSheetItems(drawing.Item{Kind: drawing.CutItem, Index: 1}, r3.Vec{}, drawing.Elevation)[0].Action()
	same(2, 5)
	b.onSheetItems(drawing.Item{Kind: drawing.CutTiltItem, Index: 0}, r3.Vec{}, drawing.Elevation)[0].Action()
	same(5)
	b.onSheetItems(drawing.Item{Kind: drawing.CutItem}, r3.Vec{}, drawing.Elevation)[0].Action()
	same()
	if got := b.session.Setup().Zones.Name; got != bottom {
		t.Errorf("%s is left, not %s", got, bottom)
	}
	b.session.Undo()
	same(5)
}

func TestADraggedAxisSnapsToAHoleAndSaysSo(t *testing.T) {
	b := newBench(t)
	b.openPart()
	f := b.session.Facts()
	if len(f.Places) == 0 {
		t.Fatal("no places are known")
	}
	f.Places = []session.Place{{At: r2.Vec{X: 131.037, Y: 104}, Hole: true}, {At: r2.Vec{X: 120.55, Y: 105}}}
	edit := b.editOnSheet()
	axis := func() [2]float64 { return *b.session.Setup().Zones.Field.Axis }
	edit.MoveAxis(0, r2.Vec{X: 131.4, Y: 104.3}, false)
	in, _ := b.scene()
	if axis() != [2]float64{131.037, 104} || in.Snap == nil || in.Snap.Words != "hole" {
		t.Errorf("at %v, marked %v", axis(), in.Snap)
	}
	edit.MoveAxis(0, r2.Vec{X: 131.4, Y: 104.3}, true)
	if in, _ = b.scene(); axis() != [2]float64{131.4, 104.3} || in.Snap != nil {
		t.Errorf("free, yet at %v, marked %v", axis(), in.Snap)
	}
	edit.MoveAxis(0, r2.Vec{X: 120.4, Y: 105}, false)
	edit.Done(drawing.Item{Kind: drawing.AxisItem})
	if in, _ = b.scene(); axis() != [2]float64{120.55, 105} || in.Snap != nil {
		t.Errorf("let go at %v, marked %v", axis(), in.Snap)
	}
	items := b.onSheetItems(drawing.Item{}, r3.Vec{X: 110.02, Y: 111}, drawing.Plan)
	items[0].Action()
	if got := axis(); math.Abs(got[0]-110) > 1e-9 || got[1] != 111 {
		t.Errorf("put to %v", got)
	}
}
