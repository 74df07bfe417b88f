package overhang

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/mesh"
)

// Under returns the volume, mm3, of upright columns from the bed to what is
// unsupported of m: what support would be printed without cones, were it solid.
// It is an estimate: columns that stand on the part itself count down to the bed.
func (o *Unsupported) Under(m *mesh.Mesh) float64 {
	sum := 0.0
	for _, i := range o.Facets {
		a, b, c := m.Corners(int(i))
		sum += column(a, b, c)
	}
	for _, p := range o.Pieces {
		for k := 1; k+1 < len(p.Corners); k++ {
			sum += column(p.Corners[0], p.Corners[k], p.Corners[k+1])
		}
	}
	return sum
}

// column returns the volume under a triangle: its area in plan times its mean
// height.
func column(a, b, c r3.Vec) float64 {
	plan := math.Abs((b.X-a.X)*(c.Y-a.Y)-(b.Y-a.Y)*(c.X-a.X)) / 2
	return plan * math.Max(0, (a.Z+b.Z+c.Z)/3)
}
