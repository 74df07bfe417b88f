package render_test

import (
	"testing"

	"conewright/render"
	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r3"
)

// Hanging beads are drawn in plan and pictorial view, with a row in the key, and
// follow the part as it is warped.
func TestHangingBeadsAreDrawnOverAllElse(t *testing.T) {
	in := bollard()
	run := []r3.Vec{{X: 120, Y: 105, Z: 20}, {X: 125, Y: 110, Z: 20}, {X: 130, Y: 105, Z: 20}}
	count := func(d *drawing.Drawing) map[drawing.View]int {
		n := map[drawing.View]int{}
		for i := range d.Lines {
			if d.Lines[i].Pen == drawing.Hanging {
				n[d.Lines[i].View] += len(d.Lines[i].Points)
			}
		}
		return n
	}
	if n := count(render.Sheet(in)); len(n) != 0 {
		t.Fatalf("without any there are %v", n)
	}
	in.Hanging = []render.Hanging{{Zone: 0, Points: run}, {Zone: 99, Points: run}}
	d := render.Sheet(in)
	if n := count(d); n[drawing.Plan] != 3 || n[drawing.Pictorial] != 3 || n[drawing.Sheet] != 2 || n[drawing.Elevation] != 0 {
		t.Errorf("points of hanging beads by view: %v", n)
	}
	words := false
	for _, text := range d.Texts {
		words = words || text.Words == render.English.KeyHanging
	}
	if !words {
		t.Error("the key doesn't explain them")
	}
}
