package render_test

import (
	"testing"

	"conewright/render"
	"conewright/render/drawing"

	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/spatial/r2"
)

// linesOf returns the lines of a view.
func linesOf(d *drawing.Drawing, v drawing.View) (lines []drawing.Line) {
	for _, l := range d.Lines {
		if l.View == v {
			lines = append(lines, l)
		}
	}
	return lines
}

// TestRestBringsTheExactPicture turns the view and drags the axis as a pointer does:
// views that don't change stay exact, and a rest brings what is drawn at once.
func TestRestBringsTheExactPicture(t *testing.T) {
	for name, change := range map[string]func(in *render.Input, i int){"orbit": orbit, "drag": dragAxis} {
		in := big(20_000)
		d := render.NewDrafter()
		first := d.Sheet(in)
		in.Options.Moving = true
		for i := 1; i < 6; i++ {
			change(&in, i)
			moving := d.Sheet(in)
			if name == "orbit" && (!cmp.Equal(linesOf(moving, drawing.Elevation), linesOf(first, drawing.Elevation)) ||
				!cmp.Equal(linesOf(moving, drawing.Plan), linesOf(first, drawing.Plan))) {
				t.Errorf("%s: a view that isn't turned has other lines", name)
			}
		}
		moving := d.Sheet(in)
		in.Options.Moving = false
		rested, exact := d.Sheet(in), render.Sheet(in)
		if !cmp.Equal(rested, exact) {
			t.Errorf("%s: at rest, the drawing isn't what is drawn at once", name)
		}
		if a, b := inked(moving), inked(exact); a < 0.99*b || a > 1.01*b {
			t.Errorf("%s: while it moves, lines are %.0f mm long, at rest %.0f mm", name, a, b)
		}
	}
}

// inked returns the length of all lines, mm of paper.
func inked(d *drawing.Drawing) (sum float64) {
	for _, l := range d.Lines {
		for i := 1; i < len(l.Points); i++ {
			sum += r2.Norm(r2.Sub(l.Points[i], l.Points[i-1]))
		}
	}
	return sum
}
