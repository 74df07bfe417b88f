package unwarp_test

import (
	"testing"

	"conewright/geom/unwarp"

	"gonum.org/v1/gonum/spatial/r3"
)

// A tip off the reference point on a machine without turning axes is a shift that
// never changes: all tips stand where they stand without it.
func TestATipOffTheReferencePointShiftsTheWords(t *testing.T) {
	z := &unwarp.Zone{Name: "z", Field: outward(15), LayerHeight: 0.2}
	plain, shifted := *builtin(t, "straight"), *builtin(t, "straight")
	shifted.Head.Tip = [3]float64{3.25, -2.125, 5.5}
	_, _, want := corrected(t, &plain, z, rings(3))
	_, _, got := corrected(t, &shifted, z, rings(3))
	if len(got) != len(want) {
		t.Fatalf("%d moves, %d without a shift", len(got), len(want))
	}
	for i := range got {
		a, b := &got[i], &want[i]
		if !a.Known {
			continue
		}
		if d := r3.Norm(r3.Sub(a.To.Tip, b.To.Tip)); d > 0.0016 { // words are rounded elsewhere
			t.Fatalf("line %d: the tip stands at %v, without a shift at %v", a.Line, a.To.Tip, b.To.Tip)
		}
		if w := r3.Sub(a.To.Tip, r3.Vec{X: a.Words[1].X, Y: a.Words[1].Y, Z: a.Words[1].Z}); r3.Norm(r3.Sub(w, r3.Vec{X: 3.25, Y: -2.125, Z: 5.5})) > 1e-9 {
			t.Fatalf("line %d: the tip stands %v from the words", a.Line, w)
		}
	}
}
