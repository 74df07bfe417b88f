package clearance_test

import (
	"context"
	"fmt"

	"conewright/geom/clearance"
	"conewright/geom/machine"

	"gonum.org/v1/gonum/spatial/r3"
)

// A bead is laid at a height of 10 mm; then the head comes by at 8 mm.
func ExampleCheck() {
	card, _ := machine.Builtin("straight")
	pose := func(x, y, z float64) machine.Pose { return machine.Pose{Tip: r3.Vec{X: x, Y: y, Z: z}} }
	motion := clearance.MotionOf([]clearance.Step{
		{From: pose(100, 100, 10), To: pose(120, 100, 10), Area: 0.08, Thickness: 0.2, Up: r3.Vec{Z: 1}, Line: 1},
		{From: pose(120, 100, 10), To: pose(120, 80, 40), Line: 2},
		{From: pose(120, 80, 40), To: pose(110, 80, 8), Line: 3},
		{From: pose(110, 80, 8), To: pose(110, 120, 8), Line: 4},
	})
	report, err := clearance.Check(context.Background(), clearance.Options{Head: card.Head}, motion, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range report.Collisions {
		fmt.Printf("line %d: %v meets what line %d printed\n", c.Line, c.Part, c.LaidLine)
	}
	// Output: line 4: nozzle profile, cone 2 meets what line 1 printed
}
