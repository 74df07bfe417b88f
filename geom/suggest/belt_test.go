package suggest

import (
	"context"
	"math"
	"testing"

	"conewright/geom/form"
	"conewright/geom/machine"

	"gonum.org/v1/gonum/spatial/r3"
)

// A belt's nozzle leans one way: only planes to which it is square enough are
// offered, and the ramp in the gantry's plane always.
func TestABeltIsOfferedItsRamp(t *testing.T) {
	card, _ := machine.Builtin("belt-45")
	part := form.Box(r3.Vec{X: -10, Y: 100}, r3.Vec{X: 10, Y: 120, Z: 15})
	plans, err := Plans(context.Background(), part, Options{Card: card}, nil)
	if err != nil {
		t.Fatal(err)
	}
	offered := false
	for _, p := range plans {
		for _, leaf := range p.Zones.Leaves() {
			lift := leaf.Field.Lift()
			n := lift.Normal(leaf.Field.Axis)
			off := math.Acos(math.Min(1, (n.X+n.Z)/math.Sqrt2)) * 180 / math.Pi
			if !lift.Linear() || off > card.Head.OffSquare {
				t.Errorf("%+v: %.1f degrees off square", leaf.Field, off)
			}
		}
		f := p.Zones.Field
		offered = offered || p.Zones.Cut == nil && f.Kind == Ramp && f.AngleDeg == 45 && f.TowardDeg == 0
	}
	if !offered {
		t.Errorf("the gantry's own ramp isn't offered: %+v", plans)
	}
}
