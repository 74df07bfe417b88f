package window

import (
	"math"
	"testing"

	"conewright/geom/job"
	"conewright/render"
	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// box returns the box of the part as the sheet draws it.
func (b *bench) drawnBox() r3.Box {
	b.t.Helper()
	in, _ := b.scene()
	return in.Mesh.Bounds()
}

// While a part is dragged it is drawn where the pointer has it, with its axis and its
// cut, though the figures are still of where it was.
func TestAPartIsDraggedOnTheBedWithAllThatIsOnIt(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.zones.addCut()
	b.judged()
	was, seat := b.drawnBox(), *b.session.Setup().Part.Seat
	item := drawing.Item{Kind: drawing.PartItem}
	b.selected(item)
	edit := b.editOnSheet()
	edit.MovePart(0, r2.Vec{X: 10.3, Y: -20.2}, false)
	s := b.session.Setup()
	if got, want := *s.Part.Seat, [2]float64{seat[0] + 10, seat[1] - 20}; got != want {
		t.Errorf("seat %v, want %v on whole millimetres", got, want)
	}
	if now := b.drawnBox(); r3.Norm(r3.Sub(now.Min, r3.Add(was.Min, r3.Vec{X: 10, Y: -20}))) > 1e-9 {
		t.Errorf("drawn at %v while it is dragged, was at %v", now.Min, was.Min)
	}
	in, _ := b.scene()
	for i := range in.Zones {
		if axis, ok := in.Zones[i].Field.Axis(); !ok || axis.X != (*s.Part.Seat)[0] || axis.Y != (*s.Part.Seat)[1] {
			t.Errorf("zone %d: the axis is drawn at %v, the part at %v", i, axis, *s.Part.Seat)
		}
	}
	if in.Cuts[0].Point.X != (*s.Part.Seat)[0] {
		t.Errorf("the cut stays behind at %v", in.Cuts[0].Point)
	}
	edit.MovePart(0, r2.Vec{X: 10.34, Y: 0}, true)
	edit.Done(item)
	if got := (*b.session.Setup().Part.Seat)[0]; math.Abs(got-seat[0]-10.3) > 1e-9 {
		t.Errorf("free: seat x %g, want %g", got, seat[0]+10.3)
	}
	if b.session.UndoName() != "step.seat" {
		t.Errorf("the step is called %q", b.session.UndoName())
	}
	b.judged()
	b.session.Undo()
	if *b.session.Setup().Part.Seat != seat {
		t.Error("a drag isn't one step")
	}
}

// A turned part's drawing is that of the part read anew, and its ramp turns with it.
func TestAPartIsTurnedOnTheBed(t *testing.T) {
	b := newBench(t)
	b.openPosts() // longer than wide
	b.do("step.field", func(s *job.Setup) { setKind(s, s.Zones.Field, job.KindRamp) })
	b.judged()
	item := drawing.Item{Kind: drawing.PartTurnItem}
	b.selected(item)
	edit := b.editOnSheet()
	edit.TurnPart(0, 88*math.Pi/180, false)
	edit.TurnPart(0, 91*math.Pi/180, false)
	box := b.drawnBox()
	if wide, deep := box.Max.X-box.Min.X, box.Max.Y-box.Min.Y; math.Abs(wide-6) > 1e-6 || math.Abs(deep-30) > 1e-6 {
		t.Errorf("turned by 90 degrees it is drawn %g wide and %g deep", wide, deep)
	}
	edit.Done(item)
	s := b.session.Setup()
	if s.Part.Turn[2] != 90 || math.Abs(s.Zones.Field.Toward-90) > 1e-9 {
		t.Errorf("turn %g, ramp toward %g", s.Part.Turn[2], s.Zones.Field.Toward)
	}
	b.judged()
	edit.NudgeTurn(item, 1)
	if got := b.session.Setup().Part.Turn[2]; got != 91 {
		t.Errorf("an arrow key turns to %g degrees", got)
	}
}

// A part that is dragged over the end of the travel is told at once, before anything
// is worked out anew.
func TestADraggedPartOverTheTravelIsToldOnTheSheet(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.selected(drawing.Item{Kind: drawing.PartItem})
	b.editOnSheet().MovePart(0, r2.Vec{X: 500}, false)
	in, _ := b.scene()
	d := render.Sheet(in)
	found := false
	for _, text := range d.Texts {
		found = found || text.Tone == drawing.Accent && len(text.Words) > len(in.Texts.Beyond) && text.Words[:len(in.Texts.Beyond)] == in.Texts.Beyond
	}
	if !found {
		t.Error("the sheet doesn't say that the part is beyond the travel")
	}
	b.judged()
	if state, m := b.route.find("part").show(); m != markNeeds {
		t.Errorf("row: %q, mark %d", state, m)
	}
}

// The arrow of a ramp looks as if it could be turned, and can.
func TestARampIsTurnedByItsArrow(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.do("step.field", func(s *job.Setup) { setKind(s, s.Zones.Field, job.KindRamp) })
	b.judged()
	item := drawing.Item{Kind: drawing.RampItem}
	b.selected(item)
	edit := b.editOnSheet()
	toward := func() float64 { return b.session.Setup().Zones.Field.Toward }
	edit.TurnRamp(0, 42*math.Pi/180, false)
	if toward() != 40 {
		t.Errorf("dragged by 42 degrees it falls toward %g, want 40", toward())
	}
	edit.TurnRamp(0, 42*math.Pi/180, true)
	edit.Done(item)
	if toward() != 42 || b.session.UndoName() != "step.toward" {
		t.Errorf("free it falls toward %g, the step is %q", toward(), b.session.UndoName())
	}
	edit.NudgeTurn(item, -1)
	if toward() != 41 {
		t.Errorf("an arrow key turns it toward %g", toward())
	}
}
