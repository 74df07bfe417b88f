package readback

import (
	"math"
	"math/rand"
	"testing"

	"conewright/geom/field"
	"conewright/geom/placement"
	"conewright/geom/unwarp"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Only near an axis is the bead of a tip looked for on the axis. Looked for
// everywhere it is found at the same places.
func TestBeadsOnTheAxisAreFoundFromTheTip(t *testing.T) {
	line := []r2.Vec{{X: -3}, {X: 4}}
	fields := []field.Field{
		field.NewCone(math.Pi/4, false, r2.Vec{}, 0),
		field.NewCone(math.Pi/3, true, r2.Vec{}, 0.5),
		field.NewRidge(math.Pi/4, false, line, 0),
		field.NewProfile(line, []float64{0, 2, 5}, []float64{0, math.Pi / 4, -math.Pi / 6}),
		field.NewRamp(math.Pi/4, 1),
	}
	random := rand.New(rand.NewSource(18))
	onAxis := 0
	for _, f := range fields {
		z := &unwarp.Zone{Field: f, LayerHeight: 0.28}
		c := &checker{sources: []Source{{Zone: z}}}
		for range 20_000 {
			lean, azimuth := random.Float64()*1.3, 2*math.Pi*random.Float64()
			d := r3.Vec{X: math.Sin(lean) * math.Cos(azimuth), Y: math.Sin(lean) * math.Sin(azimuth), Z: math.Cos(lean)}
			far := z.LayerHeight * random.Float64() / d.Z
			tip := r3.Vec{X: far*d.X + 0.01*random.NormFloat64(), Y: far*d.Y + 0.01*random.NormFloat64(), Z: 3}
			m := placement.Middle(&leaning{&z.Field, plan(d)}, z.LayerHeight, tip, d)
			if !c.onAxis(plan(m)) {
				continue
			}
			onAxis++
			if got := c.middle(tip, d); got != m {
				t.Fatalf("tip %v, nozzle along %v: the middle is %v, looked for everywhere %v", tip, d, got, m)
			}
		}
	}
	if onAxis < 1000 {
		t.Fatalf("only %d beads lay on an axis", onAxis)
	}
}
