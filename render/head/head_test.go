package head

import (
	"math"
	"testing"

	"conewright/geom/machine"
	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

func TestTheHeadIsDrawnToScale(t *testing.T) {
	card, _ := machine.Builtin("swivel-45")
	d := Draw(card, Options{Size: r2.Vec{X: 120, Y: 170}})
	s := sketch{d: d, o: Options{Size: d.Size}, shape: newShape(card)}
	if !s.lay() {
		t.Fatal("no room")
	}
	var outline *drawing.Line
	for i := range d.Lines {
		if l := &d.Lines[i]; l.View == drawing.Elevation && l.Pen == drawing.Visible && len(l.Points) == 2*len(card.Head.Profile) {
			outline = l
		}
	}
	if outline == nil {
		t.Fatal("the profile isn't drawn")
	}
	// Every corner of the outline is the distance from the tip that its pair of
	// distance and radius says, and half of them are on each side of the axis.
	for i, p := range card.Head.Profile {
		for _, q := range []r2.Vec{outline.Points[i], outline.Points[len(outline.Points)-1-i]} {
			if got, want := r2.Norm(r2.Sub(q, s.tip))/s.scale, math.Hypot(p[0], p[1]); math.Abs(got-want) > 1e-9 {
				t.Errorf("pair %d: %g mm from the tip, not %g", i, got, want)
			}
		}
	}
	// The axis is what the kinematics say.
	axis := card.NozzleAxis(0)
	last := card.Head.Profile[len(card.Head.Profile)-1]
	n := len(card.Head.Profile)
	mid := r2.Scale(0.5, r2.Add(outline.Points[n-1], outline.Points[n]))
	if want := s.paper(last[0]*axis.X, last[0]*axis.Z); r2.Norm(r2.Sub(mid, want)) > 1e-9 {
		t.Errorf("the axis ends at %v, not %v", mid, want)
	}
}

// Whatever a card holds that checks, all that is drawn lies on the paper.
func TestNothingIsDrawnBesideThePaper(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		number := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		c := machine.Defaults()
		c.Swivel = &machine.Swivel{Letter: "C", Sense: 1, MaxSpeed: 1, MaxAccel: 1, TipOffset: [3]float64{number("ox", -60, 60), number("oy", -60, 60)}}
		c.Head.Tilt = number("tilt", 0, 80)
		at := r3.Vec{X: number("bx", -90, 50), Y: number("by", -90, 50), Z: number("bz", -5, 50)}
		c.Head.Boxes = []machine.Box{{Min: [3]float64{at.X, at.Y, at.Z}, Max: [3]float64{at.X + number("w", 1, 90), at.Y + 30, at.Z + number("h", 1, 90)}}}
		if err := c.Check(); err != nil {
			t.Skip(err)
		}
		d := Draw(&c, Options{Size: r2.Vec{X: 110, Y: 160}, Side: "side", Above: "above", Axis: "C", Bed: "bed"})
		if len(d.Lines) < 5 {
			t.Fatalf("%d lines", len(d.Lines))
		}
		for _, l := range d.Lines {
			for _, p := range l.Points {
				if !(p.X >= 0 && p.X <= d.Size.X && p.Y >= 0 && p.Y <= d.Size.Y) {
					t.Fatalf("%v: %v", l.Pen, p)
				}
			}
		}
	})
}
