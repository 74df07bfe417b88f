package window

import (
	"testing"

	"conewright/geom/form"
	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestTheFacetThatIsSeenIsFound(t *testing.T) {
	m := form.Box(r3.Vec{X: 10, Y: 20, Z: 0}, r3.Vec{X: 30, Y: 40, Z: 8})
	for name, c := range map[string]struct{ p, toward, want r3.Vec }{
		"from above":      {r3.Vec{X: 14, Y: 37, Z: -50}, r3.Vec{Z: 1}, r3.Vec{Z: 1}},
		"from below":      {r3.Vec{X: 14, Y: 37, Z: 50}, r3.Vec{Z: -1}, r3.Vec{Z: -1}},
		"from the front":  {r3.Vec{X: 14, Y: 100, Z: 3}, r3.Vec{Y: -1}, r3.Vec{Y: -1}},
		"from the corner": {r3.Vec{X: 29.9, Y: 25, Z: 4}, r3.Unit(r3.Vec{X: 2, Y: -1, Z: 1}), r3.Vec{X: 1}},
		"beside it":       {r3.Vec{X: 31, Y: 25, Z: 4}, r3.Vec{Z: 1}, r3.Vec{}},
	} {
		got := r3.Vec{}
		if i := nearestFacet(m, c.p, c.toward); i >= 0 {
			a, b, d := m.Corners(i)
			got = r3.Unit(r3.Cross(r3.Sub(b, a), r3.Sub(d, a)))
		}
		if r3.Norm(r3.Sub(got, c.want)) > 1e-9 {
			t.Errorf("%s: a facet that points to %v is seen, not %v", name, got, c.want)
		}
	}
}

// The spindle stands on its foot, 12 mm wide, or on its head, 18 mm wide.
func TestThePartIsLaidOnItsOtherSideAndBack(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.route.show(b.route.find("part"))
	wide := func() bool { // at the bed
		for _, v := range b.session.Facts().Model.Mesh.Vertices {
			if x := v.X - 125; v.Z < 0.01 && (x > 8 || x < -8) {
				return true
			}
		}
		return false
	}
	for _, want := range []bool{false, true, false} {
		b.until("the part as it stands", func() bool { return b.standing() != nil })
		if wide() != want {
			t.Fatalf("it stands on its head: %v", !want)
		}
		b.layNext()
	}
}

func TestAFaceIsLaidDownFromTheSheetOnlyWhereItIsSeen(t *testing.T) {
	b := newBench(t)
	b.openPart()
	if _, _, ok := b.faceAt(r3.Vec{X: 125, Y: 105, Z: 3}, drawing.Plan); ok {
		t.Error("a face is found in the plan")
	}
	b.layDown(r3.Vec{Z: 1})
	b.until("the part as it stands", func() bool { return b.standing() != nil })
	if got := b.session.Setup().Part.Turn; got == [3]float64{} {
		t.Error("it isn't turned")
	}
	if name := b.session.UndoName(); name != "step.laydown" {
		t.Errorf("the step is %s", name)
	}
}
