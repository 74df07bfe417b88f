package zone

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/form"
	"conewright/geom/mesh"
)

func box(x0, y0, z0, x1, y1, z1 float64) *mesh.Mesh {
	return form.Box(r3.Vec{X: x0, Y: y0, Z: z0}, r3.Vec{X: x1, Y: y1, Z: z1})
}

// weld merges vertices at exactly the same place.
func weld(m *mesh.Mesh) *mesh.Mesh {
	out := &mesh.Mesh{}
	at := map[r3.Vec]int32{}
	index := make([]int32, len(m.Vertices))
	for i, v := range m.Vertices {
		k, ok := at[v]
		if !ok {
			k = int32(len(out.Vertices))
			at[v] = k
			out.Vertices = append(out.Vertices, v)
		}
		index[i] = k
	}
	for _, f := range m.Facets {
		out.Facets = append(out.Facets, [3]int32{index[f[0]], index[f[1]], index[f[2]]})
	}
	return out
}

// mushroom is a stem of radius 5 up to z = 10 under a head of radius 15 up to
// z = 14, with a flat underside; one solid.
func mushroom(n int) *mesh.Mesh {
	return form.Turned([]r2.Vec{{}, {X: 5}, {X: 5, Y: 10}, {X: 15, Y: 10}, {X: 15, Y: 14}, {Y: 14}}, n)
}

func star(n int, inner, outer float64) []r2.Vec {
	var out []r2.Vec
	for i := range 2 * n {
		r := outer
		if i%2 == 1 {
			r = inner
		}
		sin, cos := math.Sincos(math.Pi * float64(i) / float64(n))
		out = append(out, r2.Vec{X: r * cos, Y: r * sin})
	}
	return out
}

// volume sums signed tetrahedra about the first vertex.
func volume(m *mesh.Mesh) float64 {
	sum := 0.0
	for i := range m.Facets {
		a, b, c := m.Corners(i)
		o := m.Vertices[0]
		a, b, c = r3.Sub(a, o), r3.Sub(b, o), r3.Sub(c, o)
		sum += r3.Dot(a, r3.Cross(b, c)) / 6
	}
	return sum
}

// openEdges counts directed edges without an answer.
func openEdges(m *mesh.Mesh) int {
	sum := make(map[uint64]int, 3*len(m.Facets)/2)
	for _, f := range m.Facets {
		for j := range 3 {
			if a, b := uint64(f[j]), uint64(f[(j+1)%3]); a < b {
				sum[a<<32|b]++
			} else {
				sum[b<<32|a]--
			}
		}
	}
	open := 0
	for _, s := range sum {
		open += max(s, -s)
	}
	return open
}

// shapes are what the property tests cut: convex and not, with holes, nested
// cavities, several bodies, thin parts, bodies that touch.
func shapes() map[string]*mesh.Mesh {
	ring := func(r0, r1, z0, z1 float64, n int) *mesh.Mesh {
		return form.Turned([]r2.Vec{{X: r0, Y: z0}, {X: r1, Y: z0}, {X: r1, Y: z1}, {X: r0, Y: z1}}, n)
	}
	return map[string]*mesh.Mesh{
		"box":      box(0, 0, 0, 20, 10, 30),
		"star":     form.Prism(append([]r2.Vec{{}}, star(7, 4, 12)[:13]...), 0, 9),
		"mushroom": mushroom(48),
		"tube":     ring(4, 9, 0, 25, 40),
		"torus":    form.Torus(12, 4, 24, 12),
		"nested": form.Joined(box(-15, -15, 0, 15, 15, 30), form.Inverted(box(-12, -12, 3, 12, 12, 27)),
			box(-9, -9, 6, 9, 9, 24), form.Inverted(box(-6, -6, 9, 6, 6, 21)), form.Moved(form.Torus(3, 1, 20, 12), r3.Vec{Z: 15})),
		"two posts": form.Joined(box(0, 0, 0, 5, 5, 40), box(20, 0, 0, 25, 5, 30), form.Moved(form.Torus(6, 2, 24, 12), r3.Vec{X: 10, Y: 20, Z: 2})),
		"sheet":     box(0, 0, 0, 40, 0.01, 30),
		"touching edge": weld(form.Joined(box(0, 0, 0, 5, 5, 10), box(5, 5, 0, 10, 10, 10),
			box(5, 5, 10, 10, 10, 20))),
		"overlapping": form.Joined(box(0, 0, 0, 10, 10, 10), box(4, 4, 4, 14, 14, 14), ring(3, 8, -2, 12, 24)),
		"chain": form.Joined(form.Moved(form.Torus(12, 3, 30, 12), r3.Vec{Z: 3}),
			form.Moved(form.Torus(12, 3, 30, 12), r3.Vec{X: 12, Z: 3})),
	}
}
