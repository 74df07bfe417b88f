package madeparts

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// sides of a body of revolution: 0.02 mm of sagitta at a radius of 20 mm.
const sides = 96

// Revolve turns a closed outline (r, z), counter-clockwise in that plane, about
// z. Points at r = 0 lie on the axis.
func Revolve(outline ...[2]float64) Mesh {
	at := func(p [2]float64, i int) r3.Vec {
		sin, cos := math.Sincos(2 * math.Pi * float64(i%sides) / sides)
		return r3.Vec{X: p[0] * cos, Y: p[0] * sin, Z: p[1]}
	}
	var m Mesh
	for k, a := range outline {
		b := outline[(k+1)%len(outline)]
		for i := range sides {
			p, q, r, s := at(a, i), at(a, i+1), at(b, i+1), at(b, i)
			if a[0] > 0 {
				m = append(m, [3]r3.Vec{p, q, r})
			}
			if b[0] > 0 {
				m = append(m, [3]r3.Vec{p, r, s})
			}
		}
	}
	return m
}

// arc lists points (r, z) on a circle about (cr, cz), from one angle to another,
// degrees from +r toward +z.
func arc(cr, cz, radius, from, to float64) [][2]float64 {
	const pieces = 24
	var points [][2]float64
	for i := range pieces + 1 {
		sin, cos := math.Sincos((from + (to-from)*float64(i)/pieces) * math.Pi / 180)
		r := cr + radius*cos
		if r < 1e-9 {
			r = 0
		}
		points = append(points, [2]float64{r, cz + radius*sin})
	}
	return points
}
