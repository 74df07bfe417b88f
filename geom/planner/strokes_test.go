package planner

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"conewright/geom/polygon"
)

// A ring that grazes a region's outline again and again, now a hair inside and
// now outside, or a line that does: rounding may tell the two ends of a touch
// in the wrong order, but no stroke leaves the region.
func TestStrokesStayInsideWhereCurvesGraze(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 22))
	const radius = 15.2
	for n := range 3000 {
		hair := math.Pow(10, -float64(r.IntN(6))-2)
		wobble := func() float64 { return hair * math.Round(4*(r.Float64()-0.5)) / 2 }
		arc, corners := 0.3+2.5*r.Float64(), 4+r.IntN(40)
		var c []r2.Vec
		for i := range corners { // the outer side, which the ring grazes
			a := arc * float64(i) / float64(corners-1)
			c = append(c, r2.Vec{X: (radius + wobble()) * math.Cos(a), Y: (radius + wobble()) * math.Sin(a)})
		}
		for i := range corners {
			a := arc * float64(corners-1-i) / float64(corners-1)
			depth := 0.2 * r.Float64() * float64(r.IntN(2))
			c = append(c, r2.Vec{X: (radius - depth) * math.Cos(a), Y: (radius - depth) * math.Sin(a)})
		}
		for i := range c {
			c[i] = off(c[i].X, c[i].Y)
		}
		region, err := polygon.Union(Region{c})
		if err != nil {
			continue // nothing but a hair
		}
		f := &family{rings: true, axis: centre, first: radius, spacing: 0.3}
		if n%2 == 1 {
			f = linesFamily(0.2, 0.1)
		}
		for _, s := range f.clip(region).list {
			for _, p := range s.path {
				if d := region.Distance(p); d > 0.02 && !region.Contains(p) {
					t.Fatalf("%d: a stroke from %.4f to %.4f comes %.3f mm off the region", n, s.path[0], s.path[len(s.path)-1], d)
				}
			}
			mid := s.path[len(s.path)/2]
			if len(s.path) == 2 {
				mid = r2.Scale(0.5, r2.Add(s.path[0], s.path[1]))
			}
			if d := region.Distance(mid); d > 0.02 && !region.Contains(mid) {
				t.Fatalf("%d: the middle of a stroke lies %.3f mm off the region", n, d)
			}
		}
	}
}
