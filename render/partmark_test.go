package render

import (
	"math"
	"testing"

	"conewright/geom/form"
	"conewright/geom/mesh"
	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

func twoParts() Input {
	a := form.Box(r3.Vec{X: 10, Y: 10}, r3.Vec{X: 30, Y: 20, Z: 8})
	b := form.Box(r3.Vec{X: 50, Y: 10}, r3.Vec{X: 60, Y: 40, Z: 12})
	whole := form.Joined(a, b)
	return Input{Mesh: whole, Parts: []Part{{Name: "left", Mesh: a}, {Name: "right", Mesh: b, Azimuth: math.Pi / 2}}}
}

func handleOf(d *drawing.Drawing, item drawing.Item) *drawing.Handle {
	for i := range d.Handles {
		if d.Handles[i].Item == item {
			return &d.Handles[i]
		}
	}
	return nil
}

func TestPartsOnTheBedAreNamedAndTheSelectedOneHasAKnob(t *testing.T) {
	in := twoParts()
	in.Options.Selected = drawing.Item{Kind: drawing.PartItem, Index: 1}
	d := Sheet(in)
	names := map[string]drawing.Tone{}
	for _, text := range d.Texts {
		names[text.Words] = text.Tone
	}
	if tone, ok := names["left"]; !ok || tone != drawing.Faint {
		t.Error("the first part isn't named, or is marked though another is selected")
	}
	if tone, ok := names["right"]; !ok || tone != drawing.Accent {
		t.Error("the selected part isn't named in the accent tone")
	}
	plan, _ := d.FrameOf(drawing.Plan)
	h := handleOf(d, drawing.Item{Kind: drawing.PartItem, Index: 0})
	if h == nil || h.At != plan.Paper(r3.Vec{X: 20, Y: 15}) {
		t.Fatalf("handle of the first part %v", h)
	}
	knob := handleOf(d, drawing.Item{Kind: drawing.PartTurnItem, Index: 1})
	if knob == nil || handleOf(d, drawing.Item{Kind: drawing.PartTurnItem, Index: 0}) != nil {
		t.Fatal("the selected part alone has a knob")
	}
	middle := plan.Paper(r3.Vec{X: 55, Y: 25})
	if math.Abs(knob.At.X-middle.X) > 1e-9 || knob.At.Y >= middle.Y-15*plan.Scale {
		t.Errorf("turned by 90 degrees the knob stands at %v, the middle at %v", knob.At, middle)
	}
}

func TestAPartAloneIsNotNamed(t *testing.T) {
	in := twoParts()
	in.Parts = in.Parts[:1]
	for _, text := range Sheet(in).Texts {
		if text.Words == "left" {
			t.Error("a part alone is named")
		}
	}
}

func TestViewsStayWhereTheyWereFitted(t *testing.T) {
	in := twoParts()
	first := Sheet(in)
	fit := first.Fit
	moved := []*mesh.Mesh{in.Parts[0].Mesh, in.Parts[1].Mesh.Translate(r3.Vec{X: 20, Y: 5})}
	in.Parts[1].Mesh, in.Mesh = moved[1], form.Joined(moved[0], moved[1])
	in.Options.Fit = &fit
	second := Sheet(in)
	for _, v := range []drawing.View{drawing.Elevation, drawing.Plan} {
		a, _ := first.FrameOf(v)
		b, _ := second.FrameOf(v)
		p := r3.Vec{X: 20, Y: 15, Z: 4}
		if r2.Norm(r2.Sub(a.Paper(p), b.Paper(p))) > 1e-9 || a.Scale != b.Scale {
			t.Errorf("%v moved", v)
		}
	}
	in.Options.Fit = nil
	if third := Sheet(in); third.Fit == fit {
		t.Error("without it the views aren't fitted anew")
	}
}

func TestAnObstacleInWhichAPartStandsIsNamed(t *testing.T) {
	for _, c := range []struct {
		name string
		box  r3.Box
		want drawing.Tone
	}{
		{"under the part", r3.Box{Min: r3.Vec{X: 5, Y: 5}, Max: r3.Vec{X: 12, Y: 12, Z: 5}}, drawing.Accent},
		{"between the parts", r3.Box{Min: r3.Vec{X: 35, Y: 5}, Max: r3.Vec{X: 45, Y: 30, Z: 5}}, drawing.Ink},
		{"over the parts", r3.Box{Min: r3.Vec{X: 5, Y: 5, Z: 50}, Max: r3.Vec{X: 12, Y: 12, Z: 60}}, drawing.Ink},
	} {
		in := twoParts()
		in.Bed = &Bed{Travel: r3.Box{Min: r3.Vec{}, Max: r3.Vec{X: 100, Y: 60, Z: 80}}, Obstacles: []r3.Box{c.box}}
		d := Sheet(in)
		plan, _ := d.FrameOf(drawing.Plan)
		at, named := plan.Paper(r3.Vec{X: c.box.Min.X, Y: c.box.Max.Y}), false
		for _, text := range d.Texts {
			named = named || text.Tone == drawing.Accent && r2.Norm(r2.Sub(text.At, at)) < 1e-9
		}
		if named != (c.want == drawing.Accent) {
			t.Errorf("%s: named %v", c.name, named)
		}
	}
}
