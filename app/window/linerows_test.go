package window

import (
	"math"
	"reflect"
	"testing"

	"conewright/geom/job"
	"conewright/render/drawing"

	"fyne.io/fyne/v2/test"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

func (b *bench) field() *job.Field { return leafNamed(b.session.Setup(), b.zones.chosen).Field }

func write(f *numberField, text string) {
	f.SetText(text)
	f.take()
}

func TestARidgesLineIsEditedPointByPoint(t *testing.T) {
	b := newBench(t)
	b.openPart()
	seat := *b.session.Setup().Part.Seat
	b.zones.kind.SetSelectedIndex(4)
	want := [][2]float64{{seat[0] - 10, seat[1]}, {seat[0] + 10, seat[1]}}
	if f := b.field(); f.Kind != job.KindRidge || f.Grow != job.GrowOutward || f.Angle != 45 || !reflect.DeepEqual(f.Line, want) {
		t.Fatalf("the cone becomes %+v", f)
	}
	b.zones.grow.SetSelectedIndex(1)
	test.Tap(b.zones.points.add)
	write(b.zones.points.rows[2].numbers[1], "120")
	want = append(want, [2]float64{seat[0] + 30, 120})
	if f := b.field(); f.Grow != job.GrowInward || !reflect.DeepEqual(f.Line, want) {
		t.Errorf("grown %s, the line is %v, not %v", f.Grow, f.Line, want)
	}
	test.Tap(b.zones.points.rows[1].remove)
	want = [][2]float64{want[0], want[2]}
	if f := b.field(); !reflect.DeepEqual(f.Line, want) {
		t.Errorf("without its second point the line is %v", f.Line)
	}
	test.Tap(b.zones.points.rows[0].remove)
	if !b.zones.points.rows[0].remove.Disabled() {
		t.Error("the last point can be removed")
	}
	for range 4 {
		b.session.Undo()
	}
	if f := b.field(); len(f.Line) != 2 || f.Grow != job.GrowInward {
		t.Errorf("undone to %+v", f)
	}
}

func TestAProfilesAnglesAreEdited(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.do("step.angle", func(s *job.Setup) { s.Zones.Field.Angle, s.Zones.Field.Grow = 30, job.GrowInward })
	b.zones.kind.SetSelectedIndex(5)
	if f := b.field(); f.Kind != job.KindProfile || !reflect.DeepEqual(f.Curve, [][2]float64{{0, -30}, {10, -30}}) {
		t.Fatalf("the inward cone becomes %+v", f)
	}
	rows := b.zones.knots
	if !rows.rows[0].numbers[0].Disabled() || !rows.rows[0].remove.Disabled() {
		t.Error("the first angle can leave the line")
	}
	write(rows.rows[1].numbers[1], "20")
	test.Tap(rows.add)
	write(rows.rows[2].numbers[0], "5") // nearer than the one before: refused
	if f := b.field(); !reflect.DeepEqual(f.Curve, [][2]float64{{0, -30}, {10, 20}, {20, 20}}) {
		t.Errorf("the angles are %v", f.Curve)
	}
	if b.route.open.fault.Text == " " {
		t.Error("nothing says why an angle can't stand nearer than the one before")
	}
	rows.rows[2].numbers[0].restore()
	test.Tap(rows.rows[1].remove)
	if f := b.field(); !reflect.DeepEqual(f.Curve, [][2]float64{{0, -30}, {20, 20}}) {
		t.Errorf("without the second the angles are %v", f.Curve)
	}
	if state := fieldText(b.field()); state != "profile, 30°" {
		t.Errorf("the row says %q", state)
	}
	b.zones.kind.SetSelectedIndex(0)
	if f := b.field(); f.Kind != job.KindCone || f.Angle != 30 {
		t.Errorf("back to %+v", f)
	}
}

func TestAPointOfALineIsDraggedInThePlan(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.zones.addCut()
	b.zones.kind.SetSelectedIndex(4) // of the upper zone
	lower := b.session.Setup().Zones.Leaves()[0]
	b.do("step.field", func(s *job.Setup) { setKind(s, s.Zones.Leaves()[0].Field, job.KindRidge) })
	b.zones.chosen = lower.Name
	item := drawing.Item{Kind: drawing.PointItem, Index: 3} // the second one of the upper zone
	edit := b.editOnSheet()
	edit.Select(item)
	if b.zones.chosen == lower.Name {
		t.Error("the page shows another zone than that of the point")
	}
	was := b.field().Line[0]
	edit.MovePoint(item.Index, r2.Vec{X: 131.234, Y: 99.876}, true)
	edit.Done(item)
	if f := b.field(); f.Line[1] != [2]float64{131.234, 99.876} || f.Line[0] != was {
		t.Errorf("dragged, the line is %v", f.Line)
	}
	if b.session.UndoName() != "step.line" {
		t.Errorf("the step is %q", b.session.UndoName())
	}
	edit.Nudge(item, r3.Vec{X: 0.1})
	if got := b.field().Line[1][0]; math.Abs(got-131.334) > 1e-9 {
		t.Errorf("an arrow key brings it to %g", got)
	}
	edit.MovePoint(item.Index, r2.Vec{X: 131.234, Y: 99.876}, false)
	edit.Done(item)
	if f := b.field(); f.Line[1] != [2]float64{131.2, 99.9} {
		t.Errorf("on the grid it stands at %v", f.Line[1])
	}
	if words := b.named(item); words != "point 2 of the line of "+b.zones.chosen {
		t.Errorf("it is called %q", words)
	}
}
