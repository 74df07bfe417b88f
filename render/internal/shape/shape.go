// Package shape makes the solids that the tests of render share, of those of form.
package shape

import (
	"math"

	"conewright/geom/form"
	"conewright/geom/mesh"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Revolve turns a closed profile of (radius, z), counter-clockwise, about the
// vertical through center in n steps.
func Revolve(center r2.Vec, n int, profile ...[2]float64) *mesh.Mesh {
	points := make([]r2.Vec, len(profile))
	for i, p := range profile {
		points[i] = r2.Vec{X: p[0], Y: p[1]}
	}
	return form.Moved(form.Turned(points, n), r3.Vec{X: center.X, Y: center.Y})
}

// Bollard is a post with a foot and a wide head, 54 mm wide and 45 mm high.
func Bollard(center r2.Vec, n int) *mesh.Mesh {
	return Revolve(center, n, [2]float64{0, 0}, [2]float64{18, 0}, [2]float64{18, 3}, [2]float64{11, 10},
		[2]float64{10.5, 14}, [2]float64{10.5, 33}, [2]float64{27, 33}, [2]float64{27, 39}, [2]float64{23, 43}, [2]float64{0, 45})
}

// Knot is a torus with waves on it, whose outlines cross and hide each other:
// about facets facets.
func Knot(center r3.Vec, radius float64, facets int) *mesh.Mesh {
	n := int(math.Sqrt(float64(facets)))
	rings, sides := n, n/2
	m := &mesh.Mesh{}
	for i := range rings {
		t := 2 * math.Pi * float64(i) / float64(rings)
		for k := range sides {
			u := 2 * math.Pi * float64(k) / float64(sides)
			r := radius * (0.3 + 0.05*math.Sin(7*t)*math.Cos(3*u))
			q := radius*0.7 + r*math.Cos(u)
			m.Vertices = append(m.Vertices, r3.Vec{X: center.X + q*math.Cos(t), Y: center.Y + q*math.Sin(t), Z: center.Z + r*math.Sin(u) + radius*0.2*math.Sin(3*t)})
		}
	}
	at := func(i, k int) int32 { return int32(i%rings*sides + k%sides) }
	for i := range rings {
		for k := range sides {
			m.Facets = append(m.Facets, [3]int32{at(i, k), at(i+1, k), at(i+1, k+1)}, [3]int32{at(i, k), at(i+1, k+1), at(i, k+1)})
		}
	}
	return m
}
