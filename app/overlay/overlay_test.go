package overlay

import (
	"math"
	"testing"

	"conewright/geom/brought"
	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
)

func square(x, y, side float64) []r2.Vec {
	return []r2.Vec{{X: x, Y: y}, {X: x + side, Y: y}, {X: x + side, Y: y + side}, {X: x, Y: y + side}}
}

func fit() *brought.Fit {
	return &brought.Fit{Heights: []brought.Height{
		{Z: 1, Section: [][]r2.Vec{square(100, 100, 20)}, Outline: [][]r2.Vec{square(100.5, 100.5, 19)},
			Beads: [][]r2.Vec{{{X: 101, Y: 101}, {X: 119, Y: 101}}}, LeftOut: [][]r2.Vec{square(95, 95, 30), square(-9000, 0, 10)}},
		{Z: 2, Section: [][]r2.Vec{square(100, 100, 40)}},
	}}
}

var options = Options{Size: r2.Vec{X: 120, Y: 160}, Section: "section", Outline: "beads", LeftOut: "left out"}

func TestTheScaleIsOneForAllHeightsAndAllIsOnPaper(t *testing.T) {
	f := fit()
	around := Around(f)
	if around.Min != (r2.Vec{X: 100, Y: 100}) || around.Max != (r2.Vec{X: 140, Y: 140}) {
		t.Fatalf("around %v", around)
	}
	out := Draw(&f.Heights[0], around, options)
	f.Heights[0].LeftOut = nil
	first, second := Draw(&f.Heights[0], around, options), Draw(&f.Heights[1], around, options)
	small, large := side(first, drawing.Visible), side(second, drawing.Visible)
	if math.Abs(large-2*small) > 1e-9 || small == 0 {
		t.Errorf("sections of 20 and 40 mm are %g and %g on paper", small, large)
	}
	if beads := side(first, drawing.Symbol); math.Abs(beads/small-0.95) > 1e-9 {
		t.Errorf("beads of 19 mm are %g of the section of 20", beads/small)
	}
	// From 95 to 140 mm instead of 100 to 140: what was left out is seen too.
	if smaller := side(out, drawing.Visible); math.Abs(smaller-small*40/45) > 1e-9 {
		t.Errorf("with what was left out the section is %g on paper, without %g", smaller, small)
	}
	for _, line := range append(second.Lines, out.Lines...) {
		for _, p := range line.Points {
			if p.X < 0 || p.Y < 0 || p.X > options.Size.X || p.Y > options.Size.Y {
				t.Errorf("%s at %v", line.Pen, p)
			}
		}
	}
}

// side is the length of the first edge of a pen's first line in the plan.
func side(d *drawing.Drawing, pen drawing.Pen) float64 {
	for _, l := range d.Lines {
		if l.Pen == pen && l.View == drawing.Plan {
			return r2.Norm(r2.Sub(l.Points[1], l.Points[0]))
		}
	}
	return 0
}

func TestWhatIsLeftOutIsToldByItsLineAndInWords(t *testing.T) {
	f := fit()
	for i, want := range []int{1, 0} {
		d := Draw(&f.Heights[i], Around(f), options)
		lines, words := 0, 0
		for _, l := range d.Lines {
			lines += one(l.Pen == drawing.Hidden && l.View == drawing.Plan)
		}
		for _, text := range d.Texts {
			words += one(text.Words == "left out")
		}
		if lines != want || words != want { // the one nine metres off isn't drawn
			t.Errorf("height %d: %d lines, %d words, want %d", i, lines, words, want)
		}
	}
}

func TestNothingToDrawIsNoTrouble(t *testing.T) {
	empty := &brought.Fit{Heights: []brought.Height{{}}}
	for _, size := range []r2.Vec{{}, {X: 1, Y: 1}, {X: 100, Y: 100}} {
		for _, line := range Draw(&empty.Heights[0], Around(empty), Options{Size: size}).Lines {
			for _, p := range line.Points {
				if math.IsNaN(p.X) || math.IsInf(p.X, 0) {
					t.Errorf("%v: %v", size, p)
				}
			}
		}
	}
}
