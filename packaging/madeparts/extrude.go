package madeparts

import (
	"github.com/oliverbestmann/earcut-go"
	"gonum.org/v1/gonum/spatial/r3"
)

// Extrude raises an outline (x, y), counter-clockwise, from z = 0 to height.
func Extrude(height float64, outline ...[2]float64) Mesh {
	points := make([]earcut.Point[float64], len(outline))
	for i, p := range outline {
		points[i] = earcut.Point[float64]{X: p[0], Y: p[1]}
	}
	_, indices := earcut.Triangulate(points, nil)
	at := func(i int, z float64) r3.Vec { return r3.Vec{X: outline[i][0], Y: outline[i][1], Z: z} }
	var m Mesh
	for i := 0; i+2 < len(indices); i += 3 {
		a, b, c := int(indices[i]), int(indices[i+1]), int(indices[i+2])
		if turn := r3.Cross(r3.Sub(at(b, 0), at(a, 0)), r3.Sub(at(c, 0), at(a, 0))); turn.Z < 0 {
			b, c = c, b
		}
		m = append(m, [3]r3.Vec{at(a, height), at(b, height), at(c, height)}, [3]r3.Vec{at(a, 0), at(c, 0), at(b, 0)})
	}
	for i := range outline {
		j := (i + 1) % len(outline)
		m = append(m, [3]r3.Vec{at(i, 0), at(j, 0), at(j, height)}, [3]r3.Vec{at(i, 0), at(j, height), at(i, height)})
	}
	return m
}

// Wall stands an outline (x, z), counter-clockwise in that plane, up and makes
// it as long as length along y.
func Wall(length float64, outline ...[2]float64) Mesh {
	m := Extrude(length, outline...)
	for i, t := range m {
		for j, p := range t {
			m[i][j] = r3.Vec{X: p.X, Y: length - p.Z, Z: p.Y}
		}
	}
	return m
}

// Box is a box on the bed.
func Box(x, y, z float64) Mesh {
	return Extrude(z, [2]float64{0, 0}, [2]float64{x, 0}, [2]float64{x, y}, [2]float64{0, y})
}
