package render_test

import (
	"math"
	"strings"
	"testing"

	"conewright/geom/field"
	"conewright/geom/form"
	"conewright/render"
	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// words of a drawing that hold a piece of text.
func wordsWith(d *drawing.Drawing, piece string) []string {
	var found []string
	for _, t := range d.Texts {
		if strings.Contains(t.Words, piece) {
			found = append(found, t.Words)
		}
	}
	return found
}

// Diameters are marked on bodies of revolution and nowhere else (ISO 129-1, from
// memory).
func TestOnlyRoundPartsHaveADiameter(t *testing.T) {
	round := form.Turned([]r2.Vec{{X: 0, Y: 0}, {X: 20, Y: 0}, {X: 20, Y: 12}, {X: 0, Y: 12}}, 64)
	if got := wordsWith(golden(render.Input{Mesh: round}), "Ø"); len(got) != 1 || got[0] != "Ø40" {
		t.Errorf("of a round plate: %v", got)
	}
	box := form.Box(r3.Vec{X: -20, Y: -20}, r3.Vec{X: 20, Y: 20, Z: 12})
	eight := form.Turned([]r2.Vec{{X: 0, Y: 0}, {X: 20, Y: 0}, {X: 20, Y: 12}, {X: 0, Y: 12}}, 8)
	long := form.Prism(form.Circle(64, 20), 0, 12)
	for i := range long.Vertices {
		long.Vertices[i].Y *= 1.1
	}
	for name, in := range map[string]render.Input{"box": {Mesh: box}, "octagon": {Mesh: eight}, "ellipse": {Mesh: long}} {
		if got := wordsWith(golden(in), "Ø"); len(got) > 0 {
			t.Errorf("of a part that isn't round, %s: %v", name, got)
		}
	}
}

// From above an underside isn't seen: its hatch stands in the elevation and the
// pictorial view alone.
func TestThePlanHatchesWhatIsSeenFromAbove(t *testing.T) {
	plate := form.Box(r3.Vec{X: -20, Y: -20, Z: 10}, r3.Vec{X: 20, Y: 20, Z: 14})
	under := [][3]r3.Vec{{{X: -20, Y: -20, Z: 10}, {X: -20, Y: 20, Z: 10}, {X: 20, Y: 20, Z: 10}}}
	above := [][3]r3.Vec{{{X: -20, Y: -20, Z: 14}, {X: 20, Y: 20, Z: 14}, {X: -20, Y: 20, Z: 14}}}
	for name, c := range map[string]struct {
		of   [][3]r3.Vec
		seen bool
	}{"underside": {under, false}, "upper side": {above, true}} {
		in := render.Input{Mesh: plate, Overhang: c.of}
		in.Options.Hidden = true
		count := 0
		for _, l := range golden(in).Lines {
			if l.Pen == drawing.Hatch && l.View == drawing.Plan {
				count++
			}
		}
		if (count > 0) != c.seen {
			t.Errorf("%s: %d lines of hatch in the plan", name, count)
		}
	}
}

// Each view has its own line for an axis, and no circle in plan that reads as a hole.
func TestAnAxisIsALineInEachViewAndNoHole(t *testing.T) {
	in := render.Input{Mesh: form.Turned([]r2.Vec{{X: 0, Y: 0}, {X: 20, Y: 0}, {X: 20, Y: 12}, {X: 0, Y: 12}}, 64)}
	in.Zones = []render.Zone{{Name: "all", Mesh: in.Mesh, Field: field.NewCone(math.Pi/4, false, r2.Vec{}, 0)}}
	d := golden(in)
	views := map[drawing.View]int{}
	for _, l := range d.Lines {
		if l.Pen != drawing.Axis || l.View == drawing.Sheet || l.View == drawing.Pictorial { // the key has one too
			continue
		}
		views[l.View]++
		f, _ := d.FrameOf(l.View)
		for _, p := range l.Points {
			if !f.Rect.Contains(p) {
				t.Errorf("%v: the axis runs out of the view at %v", l.View, p)
			}
		}
	}
	if views[drawing.Elevation] != 1 || views[drawing.Plan] != 1 {
		t.Errorf("lines of the axis: %v", views)
	}
	for _, m := range d.Marks {
		if m.Item.Kind == drawing.AxisItem {
			t.Error("the axis is a circle")
		}
	}
}

// While a part warps, elevation, plan and pictorial view keep place and scale.
func TestViewsStayWhileThePartWarps(t *testing.T) {
	in := scenes()["bollard"]
	in.Options.WarpRoom = true
	first := golden(in)
	for _, warp := range []float64{0.01, 0.4, 1} {
		in.Warp = warp
		d := golden(in)
		for i, f := range d.Frames {
			was := first.Frames[i]
			// The ground, the middle of the plan and of the pictorial view.
			if p := (r3.Vec{X: was.Focus.X, Y: was.Focus.Y}); r2.Norm(r2.Sub(f.Paper(p), was.Paper(p))) > 0.02 || math.Abs(f.Scale/was.Scale-1) > 1e-3 {
				t.Errorf("warp %g: the %v moves from %v to %v, its scale from %g to %g", warp, f.View, was.Paper(p), f.Paper(p), was.Scale, f.Scale)
			}
		}
	}
}
