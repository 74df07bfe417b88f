package ownfield

import (
	"math"
	"testing"

	"conewright/geom/form"
	"conewright/render"
	"conewright/render/drawing"
	drawn "conewright/render/section"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Shells in a section follow z + f = c from side to side.
func TestSectionsShowTheShells(t *testing.T) {
	f := swell.field(t)
	face := drawn.At(form.Box(r3.Vec{X: -30, Y: -10}, r3.Vec{X: 30, Y: 10, Z: 60}), 2)
	low, high := drawn.Levels(face, f)
	if math.Abs(low+12) > 0.05 || math.Abs(high-72) > 0.05 { // a trough and a crest lie inside
		t.Errorf("shells from %v to %v, -12 and 72 are true", low, high)
	}
	const tol = 0.01
	levels := []float64{20, 30, 40} // those that meet the sides alone
	lines := drawn.Shells(face, f, levels, tol)
	if len(lines) != len(levels) {
		t.Fatalf("%d lines of %d shells", len(lines), len(levels))
	}
	for i, line := range lines {
		if line[0].X != -30 || math.Abs(line[len(line)-1].X-30) > 1e-9 {
			t.Errorf("shell %v runs from %v to %v", levels[i], line[0], line[len(line)-1])
		}
		for k := 1; k < len(line); k++ {
			for _, at := range []float64{0, 0.3, 0.5, 0.8} {
				p := r2.Add(line[k-1], r2.Scale(at, r2.Sub(line[k], line[k-1])))
				if off := math.Abs(p.Y + swell.at(p.X) - levels[i]); off > 1.01*tol {
					t.Fatalf("shell %v is %v mm off at %v", levels[i], off, p)
				}
			}
		}
	}
}

// Shells on the sheet, in the elevation, keep to z + f = c within a share of a line's
// width and show the wave; in the plan they run where the wave is equally high.
func TestSheetsShowTheShells(t *testing.T) {
	m := form.Box(r3.Vec{X: -30, Y: -10}, r3.Vec{X: 30, Y: 10, Z: 60})
	d := render.Sheet(render.Input{Mesh: m, Shell: 0.2, Zones: []render.Zone{{Name: "all", Mesh: m, Field: swell.field(t)}}})
	const paper = 0.1 // mm on the sheet: half the width of a thin line
	elevation, _ := d.FrameOf(drawing.Elevation)
	plan, _ := d.FrameOf(drawing.Plan)
	shells, across := map[int]float64{}, 0 // by level in steps of 0.01 mm: the width seen
	for i := range d.Lines {
		l := &d.Lines[i]
		if l.Pen != drawing.Shell {
			continue
		}
		switch l.View {
		case drawing.Elevation:
			first := elevation.World(l.Points[0])
			c := first.Z + swell.at(first.X)
			width := 0.0
			for k := 1; k < len(l.Points); k++ {
				p, q := elevation.World(l.Points[k-1]), elevation.World(l.Points[k])
				mid := r3.Scale(0.5, r3.Add(p, q))
				width += math.Abs(q.X - p.X)
				for _, at := range []r3.Vec{q, mid} {
					if off := math.Abs(at.Z+swell.at(at.X)-c) * elevation.Scale; off > paper {
						t.Fatalf("the shell %.3f is %v mm off on paper at %v", c, off, at)
					}
				}
			}
			shells[int(math.Round(c*100))] += width
		case drawing.Plan:
			inside := l.Points[:0:0] // what isn't on a side, seen from above
			for _, p := range l.Points {
				if w := plan.World(p); math.Abs(w.Y) < 9.9 && math.Abs(w.X) < 29.9 {
					inside = append(inside, p)
				}
			}
			for _, p := range inside { // one line may cross the top twice, and run down a side between
				p, q := plan.World(p), plan.World(inside[0])
				if off := math.Abs(swell.at(p.X) - swell.at(q.X)); off > 0.1 {
					t.Fatalf("a shell on the level top runs from %v to %v, %v mm higher", q, p, off)
				}
			}
			if len(inside) > 0 {
				across++
			}
		}
	}
	whole := 0
	for _, width := range shells {
		if math.Abs(width-60) < 0.2 {
			whole++
		}
	}
	// Over 36 mm of height shells meet the left and the right side alone.
	if whole < 10 || across < 4 {
		t.Errorf("%d shells from side to side in the elevation, %d lines in the plan", whole, across)
	}
}
