package window

import (
	"math"
	"testing"

	"conewright/app/sheet"
	"conewright/geom/job"
	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestCutsAreMovedAndTiltedAsTheyStand(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.zones.addCut()
	edit := b.editOnSheet()
	cut := func() *job.Cut { return cutNumber(b.session.Setup(), 0) }
	was := *cut()
	edit.MoveCut(0, 1.5)
	edit.Done(drawing.Item{Kind: drawing.CutItem})
	if got := cut().Point; math.Abs(got[2]-was.Point[2]-1.5) > 0.051 || got[0] != was.Point[0] {
		t.Errorf("a level cut went from %v to %v", was.Point, got)
	}
	edit.TiltCut(0, 10*math.Pi/180) // its right end up: the normal leans left
	edit.Done(drawing.Item{Kind: drawing.CutTiltItem})
	if n := cut().Normal; math.Abs(math.Atan2(-n[0], n[2])*180/math.Pi-10) > 0.5 {
		t.Errorf("normal %v", n)
	}
	b.session.Undo() // a whole drag is one step
	if n := cut().Normal; n != was.Normal {
		t.Errorf("undone to the normal %v", n)
	}
	b.do("step.cut", func(s *job.Setup) { cutNumber(s, 0).Normal = [3]float64{1, 0, 0} })
	was = *cut()
	edit.MoveCut(0, -2)
	edit.Done(drawing.Item{Kind: drawing.CutItem})
	edit.Nudge(drawing.Item{Kind: drawing.CutItem}, r3.Vec{Z: 0.5})
	if got := cut().Point; math.Abs(got[0]-was.Point[0]+1.5) > 0.051 || got[2] != was.Point[2] {
		t.Errorf("an upright cut went from %v to %v", was.Point, got)
	}
}

func TestTheBottomBarNamesWhatIsUnderThePointer(t *testing.T) {
	b := newBench(t)
	b.openPart()
	for _, c := range []struct {
		under sheet.Under
		want  string
	}{
		{sheet.Under{View: drawing.Plan, At: r3.Vec{X: 12.34, Y: 5}}, "x 12.3  y 5.0 mm"},
		{sheet.Under{View: drawing.Elevation, At: r3.Vec{X: 12.34, Z: 5}}, "x 12.3  z 5.0 mm"},
		{sheet.Under{View: drawing.Plan, Item: drawing.Item{Kind: drawing.AxisItem}}, "axis of part   x 0.0  y 0.0 mm"},
		{sheet.Under{View: drawing.Elevation, Item: drawing.Item{Kind: drawing.CutTiltItem, Index: 1}}, "end of cut 2, tilts it   x 0.0  z 0.0 mm"},
		{sheet.Under{View: drawing.Pictorial, Item: drawing.Item{Kind: drawing.MidAirItem}}, "mid-air start, click: what is said of it"},
		{sheet.Under{View: drawing.Plan, Item: drawing.Item{Kind: drawing.TitleItem}}, "double-click: this view alone"},
		{sheet.Under{}, ""},
	} {
		b.hover(c.under)
		if got := b.bottom.place.Text; got != c.want {
			t.Errorf("%+v: %q, not %q", c.under, got, c.want)
		}
	}
	b.sheet.ShowOnly(drawing.Plan)
	b.hover(sheet.Under{View: drawing.Plan, Item: drawing.Item{Kind: drawing.TitleItem}})
	if got := b.bottom.place.Text; got != "double-click: all views" {
		t.Errorf("%q", got)
	}
	for i, item := range b.menu.views.ChildMenu.Items {
		if item.Checked != (drawing.Views()[i] == drawing.Plan) {
			t.Errorf("%s is ticked: %v", item.Label, item.Checked)
		}
	}
}
