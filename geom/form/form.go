// Package form makes plain solids to try the other packages on: boxes, prisms,
// bodies of revolution. They are closed and turned outward, with no more facets
// than their shape asks for. Lengths are mm.
//
// Tests import it, and what makes parts, such as test pieces; package mesh's own
// tests can't.
package form

import (
	"math"

	"conewright/geom/mesh"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Box is a cuboid between its least and its greatest corner: two facets a side,
// those of the bottom first, then of the top, the front (least y), the right
// (greatest x), the back and the left.
func Box(lo, hi r3.Vec) *mesh.Mesh {
	m := &mesh.Mesh{}
	for i := range 8 {
		v := lo
		if i&1 != 0 {
			v.X = hi.X
		}
		if i&2 != 0 {
			v.Y = hi.Y
		}
		if i&4 != 0 {
			v.Z = hi.Z
		}
		m.Vertices = append(m.Vertices, v)
	}
	for _, q := range [][4]int32{{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4}, {1, 3, 7, 5}, {3, 2, 6, 7}, {2, 0, 4, 6}} {
		m.Facets = append(m.Facets, [3]int32{q[0], q[1], q[2]}, [3]int32{q[0], q[2], q[3]})
	}
	return m
}

// Prism stands a counter-clockwise outline from z0 to z1, closed by fans from
// its first point, from which all of it must be seen.
func Prism(outline []r2.Vec, z0, z1 float64) *mesh.Mesh {
	m := &mesh.Mesh{}
	n := int32(len(outline))
	for _, z := range [...]float64{z0, z1} {
		for _, p := range outline {
			m.Vertices = append(m.Vertices, r3.Vec{X: p.X, Y: p.Y, Z: z})
		}
	}
	for i := range n {
		j := (i + 1) % n
		m.Facets = append(m.Facets, [3]int32{i, j, n + j}, [3]int32{i, n + j, n + i})
		if i > 0 && j > 0 {
			m.Facets = append(m.Facets, [3]int32{0, j, i}, [3]int32{n, n + i, n + j})
		}
	}
	return m
}

// Turned revolves a closed profile of (radius, z), counter-clockwise with the
// radius to the right and z up, about the z axis in n steps, facets step by
// step. Points of radius 0 lie on the axis.
func Turned(profile []r2.Vec, n int) *mesh.Mesh {
	m := &mesh.Mesh{}
	rings := make([][]int32, len(profile))
	for i, p := range profile {
		steps := n
		if p.X == 0 {
			steps = 1
		}
		for k := range steps {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(n))
			rings[i] = append(rings[i], int32(len(m.Vertices)))
			m.Vertices = append(m.Vertices, r3.Vec{X: p.X * cos, Y: p.X * sin, Z: p.Y})
		}
	}
	for k := range n {
		for i, ring := range rings {
			next := rings[(i+1)%len(rings)]
			a, b := ring[k%len(ring)], ring[(k+1)%len(ring)]
			d, c := next[k%len(next)], next[(k+1)%len(next)]
			if a != b {
				m.Facets = append(m.Facets, [3]int32{a, b, c})
			}
			if c != d {
				m.Facets = append(m.Facets, [3]int32{a, c, d})
			}
		}
	}
	return m
}

// Circle is a polygon of n points at radius r about the origin,
// counter-clockwise.
func Circle(n int, r float64) []r2.Vec {
	var out []r2.Vec
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		out = append(out, r2.Vec{X: r * cos, Y: r * sin})
	}
	return out
}

// Torus is a ring about the z axis: its tube, of radius r and k sides, runs at
// radius R, in n steps.
func Torus(R, r float64, n, k int) *mesh.Mesh {
	profile := Circle(k, r)
	for i := range profile {
		profile[i].X += R
	}
	return Turned(profile, n)
}

// Joined puts bodies beside or into one another, as one mesh.
func Joined(bodies ...*mesh.Mesh) *mesh.Mesh {
	out := &mesh.Mesh{}
	for _, m := range bodies {
		n := int32(len(out.Vertices))
		out.Vertices = append(out.Vertices, m.Vertices...)
		for _, f := range m.Facets {
			out.Facets = append(out.Facets, [3]int32{f[0] + n, f[1] + n, f[2] + n})
		}
	}
	return out
}

// Moved is m shifted by d.
func Moved(m *mesh.Mesh, d r3.Vec) *mesh.Mesh {
	out := &mesh.Mesh{Facets: m.Facets}
	for _, v := range m.Vertices {
		out.Vertices = append(out.Vertices, r3.Add(v, d))
	}
	return out
}

// Inverted has all facets turned: joined to what encloses it, a cavity.
func Inverted(m *mesh.Mesh) *mesh.Mesh {
	out := &mesh.Mesh{Vertices: m.Vertices}
	for _, f := range m.Facets {
		out.Facets = append(out.Facets, [3]int32{f[0], f[2], f[1]})
	}
	return out
}
