package window

import (
	"reflect"
	"testing"

	"conewright/geom/job"

	"fyne.io/fyne/v2/test"
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
