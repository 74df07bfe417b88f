package suggested

import (
	"math"
	"testing"

	"conewright/packaging/madeparts"

	"gonum.org/v1/gonum/spatial/r3"
)

// levelColumns is the volume, mm3, of upright columns under all that leans out past 45.5
// degrees in level layers, the bed's face apart, each down to the part or the bed. A
// facet's column is taken at its middle.
func levelColumns(m madeparts.Mesh) float64 {
	volume := 0.0
	lean := math.Sin(45.5 * math.Pi / 180)
	for _, t := range m {
		n := r3.Cross(r3.Sub(t[1], t[0]), r3.Sub(t[2], t[0]))
		middle := r3.Scale(1.0/3, r3.Add(t[0], r3.Add(t[1], t[2])))
		if n.Z >= -lean*r3.Norm(n) || middle.Z < 0.01 {
			continue
		}
		volume += -n.Z / 2 * (middle.Z - under(m, middle))
	}
	return volume
}

// under is the height of the highest surface that faces up below a place; the bed's is 0.
func under(m madeparts.Mesh, p r3.Vec) float64 {
	high := 0.0
	for _, t := range m {
		a, b, c := t[0], t[1], t[2]
		if max(a.X, b.X, c.X) < p.X || min(a.X, b.X, c.X) > p.X || max(a.Y, b.Y, c.Y) < p.Y || min(a.Y, b.Y, c.Y) > p.Y {
			continue
		}
		twice := (b.X-a.X)*(c.Y-a.Y) - (c.X-a.X)*(b.Y-a.Y)
		if twice <= 0 {
			continue
		}
		u := ((p.X-a.X)*(c.Y-a.Y) - (c.X-a.X)*(p.Y-a.Y)) / twice
		v := ((b.X-a.X)*(p.Y-a.Y) - (p.X-a.X)*(b.Y-a.Y)) / twice
		if u < 0 || v < 0 || u+v > 1 {
			continue
		}
		if z := a.Z + u*(b.Z-a.Z) + v*(c.Z-a.Z); z < p.Z-1e-9 {
			high = max(high, z)
		}
	}
	return high
}

// A wall with a shelf over a low step: 6 x 20 x 8 of the shelf's columns end on the step,
// 10 x 20 x 12 on the bed.
func TestColumnsUnderLevelLayersByHand(t *testing.T) {
	m := madeparts.Wall(20, [][2]float64{{0, 0}, {10, 0}, {10, 4}, {4, 4}, {4, 12}, {20, 12}, {20, 16}, {0, 16}}...)
	if got, want := levelColumns(m), 6*20*8+10*20*12.0; math.Abs(got-want) > 0.25*want {
		t.Errorf("%.1f mm3, want about %.1f", got, want)
	}
	// Small facets: the middle of each stands for it.
	fine := madeparts.Surface(madeparts.Blend(0, madeparts.Block(r3.Vec{X: -4, Y: -8, Z: -5}, r3.Vec{X: 4, Y: 8, Z: 14}, 0), madeparts.Block(r3.Vec{X: -4, Y: -8, Z: 10}, r3.Vec{X: 12, Y: 8, Z: 14}, 0)),
		r3.Vec{X: -16, Y: -16}, r3.Vec{X: 16, Y: 16, Z: 20}, 0.7)
	if got, want := levelColumns(fine), 8*16*10.0; math.Abs(got-want) > 0.1*want {
		t.Errorf("of small facets: %.1f mm3, want about %.1f", got, want)
	}
}
