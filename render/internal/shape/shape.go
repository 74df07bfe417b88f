// Package shape makes simple closed meshes for the tests of render.
package shape

import (
	"math"

	"conewright/geom/mesh"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Revolve turns a closed profile of (radius, z), counter-clockwise, about the
// vertical through center in n steps. Points of radius 0 become one vertex.
func Revolve(center r2.Vec, n int, profile ...[2]float64) *mesh.Mesh {
	m := &mesh.Mesh{}
	first := make([]int32, len(profile)) // first vertex of each ring
	for i, p := range profile {
		first[i] = int32(len(m.Vertices))
		steps := n
		if p[0] == 0 {
			steps = 1
		}
		for k := range steps {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(n))
			m.Vertices = append(m.Vertices, r3.Vec{X: center.X + p[0]*cos, Y: center.Y + p[0]*sin, Z: p[1]})
		}
	}
	at := func(i, k int) int32 {
		if profile[i][0] == 0 {
			return first[i]
		}
		return first[i] + int32(k%n)
	}
	for i := range profile {
		j := (i + 1) % len(profile)
		for k := range n {
			a, b, c, d := at(i, k), at(i, k+1), at(j, k+1), at(j, k)
			addFacet(m, a, b, c)
			addFacet(m, a, c, d)
		}
	}
	return m
}

func addFacet(m *mesh.Mesh, a, b, c int32) {
	if a != b && b != c && c != a {
		m.Facets = append(m.Facets, [3]int32{a, b, c})
	}
}

// Prism raises a convex outline (counter-clockwise) from z0 to z1.
func Prism(z0, z1 float64, outline ...r2.Vec) *mesh.Mesh {
	m := &mesh.Mesh{}
	n := int32(len(outline))
	for _, z := range [2]float64{z0, z1} {
		for _, p := range outline {
			m.Vertices = append(m.Vertices, r3.Vec{X: p.X, Y: p.Y, Z: z})
		}
	}
	for i := int32(0); i < n; i++ {
		j := (i + 1) % n
		addFacet(m, i, j, n+j)
		addFacet(m, i, n+j, n+i)
		if i > 0 && j > 0 {
			addFacet(m, 0, j, i)
			addFacet(m, n, n+i, n+j)
		}
	}
	return m
}

// Box is a prism on an upright rectangle.
func Box(lo, hi r3.Vec) *mesh.Mesh {
	return Prism(lo.Z, hi.Z, r2.Vec{X: lo.X, Y: lo.Y}, r2.Vec{X: hi.X, Y: lo.Y}, r2.Vec{X: hi.X, Y: hi.Y}, r2.Vec{X: lo.X, Y: hi.Y})
}

// Join puts meshes side by side into one.
func Join(parts ...*mesh.Mesh) *mesh.Mesh {
	m := &mesh.Mesh{}
	for _, p := range parts {
		base := int32(len(m.Vertices))
		m.Vertices = append(m.Vertices, p.Vertices...)
		for _, f := range p.Facets {
			m.Facets = append(m.Facets, [3]int32{f[0] + base, f[1] + base, f[2] + base})
		}
	}
	return m
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
			addFacet(m, at(i, k), at(i+1, k), at(i+1, k+1))
			addFacet(m, at(i, k), at(i+1, k+1), at(i, k+1))
		}
	}
	return m
}
