package clearance

import (
	"context"
	"math"
	"testing"

	"conewright/geom/machine"

	"gonum.org/v1/gonum/spatial/r3"
)

// A head in many pieces drives over a bead that stands inside the next to last
// one. How deep the bead is doesn't depend on where the profile has its knots:
// the plain check finds it by shrinking the whole head.
func TestDepthIsThatOfTheWholeHead(t *testing.T) {
	for _, tilt := range []float64{0, 30} {
		head := machine.Head{Tilt: tilt, TipFree: 0.5, Profile: [][2]float64{{0, 0.4}, {2, 4}, {5, 4}, {8, 4}, {11, 4.2}, {20, 4.2}}}
		pose := func(x, y, z float64) machine.Pose { return machine.Pose{Tip: r3.Vec{X: x, Y: y, Z: z}} }
		steps := []Step{
			{From: pose(40, 0, 20), To: pose(40, 3, 20), Line: 1, Area: 0.08, Thickness: 0.2, Up: r3.Vec{Z: 1}},
			{From: pose(40, 3, 20), To: pose(60, 3, 60), Line: 2},
			{From: pose(60, 3, 60), To: pose(60, 1, 12), Line: 3},
			{From: pose(60, 1, 12), To: pose(20, 1, 12), Line: 4},
		}
		r, err := Check(context.Background(), Options{Head: head}, MotionOf(steps), nil)
		if err != nil || len(r.Collisions) == 0 {
			t.Fatalf("tilt %g: %v, %+v", tilt, err, r)
		}
		deepest, line := 0.0, 0
		for _, c := range r.Collisions {
			if c.Depth > deepest {
				deepest, line = c.Depth, c.DeepLine
			}
		}
		lo, hi := 0.0, 6.0
		for range 20 {
			mid := (lo + hi) / 2
			plain := plain{head, -mid, head.TipFree}
			if plain.meets(&steps[3], [][]r3.Vec{cloud(&steps[0], head.Tilt)}) {
				lo = mid
			} else {
				hi = mid
			}
		}
		if line != 4 || math.Abs(deepest-lo) > 0.1*lo {
			t.Errorf("tilt %g: %.2f mm deep in line %d, by the plain check %.2f in line 4", tilt, deepest, line, lo)
		}
	}
}
