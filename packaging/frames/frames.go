// Package frames makes the parts with which packaging/frames.sh measures how
// quickly the window draws.
package frames

import (
	"math"

	"conewright/geom/mesh"

	"gonum.org/v1/gonum/spatial/r3"
)

// Size of the part, mm.
const (
	ring  = 35. // radius of its middle
	thick = 14. // of the tube
	waves = 3.  // it rises and falls so often on its way round
	wave  = 8.  // by so much
)

// Part returns a wavy ring with ribs, closed, of about the given number of
// facets: much of it hides other parts of it, and no two views are alike.
func Part(facets int) *mesh.Mesh {
	sides := max(int(math.Sqrt(float64(facets)/4)), 3)
	rings := max(facets/(2*sides), 3)
	m := &mesh.Mesh{}
	for i := range rings {
		for k := range sides {
			t := 2 * math.Pi * float64(i) / float64(rings)
			m.Vertices = append(m.Vertices, at(t, 2*math.Pi*float64(k)/float64(sides)))
		}
	}
	vertex := func(i, k int) int32 { return int32(i%rings*sides + k%sides) }
	for i := range rings {
		for k := range sides {
			m.Facets = append(m.Facets,
				[3]int32{vertex(i, k), vertex(i+1, k), vertex(i+1, k+1)},
				[3]int32{vertex(i, k), vertex(i+1, k+1), vertex(i, k+1)})
		}
	}
	return m
}

// at returns the point at the angle t of the ring and u of the tube.
func at(t, u float64) r3.Vec {
	r := thick * (1 + 0.17*math.Sin(7*t)*math.Cos(3*u))
	q := ring + r*math.Cos(u)
	return r3.Vec{X: q * math.Cos(t), Y: q * math.Sin(t), Z: r*math.Sin(u) + wave*math.Sin(waves*t)}
}
