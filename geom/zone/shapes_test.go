package zone

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/mesh"
)

// join puts meshes side by side in one.
func join(ms ...*mesh.Mesh) *mesh.Mesh {
	out := &mesh.Mesh{}
	for _, m := range ms {
		n := int32(len(out.Vertices))
		out.Vertices = append(out.Vertices, m.Vertices...)
		for _, f := range m.Facets {
			out.Facets = append(out.Facets, [3]int32{f[0] + n, f[1] + n, f[2] + n})
		}
	}
	return out
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

// inverted turns all facets: a cavity.
func inverted(m *mesh.Mesh) *mesh.Mesh {
	out := &mesh.Mesh{Vertices: m.Vertices}
	for _, f := range m.Facets {
		out.Facets = append(out.Facets, [3]int32{f[0], f[2], f[1]})
	}
	return out
}

func moved(m *mesh.Mesh, d r3.Vec) *mesh.Mesh {
	out := &mesh.Mesh{Facets: m.Facets}
	for _, v := range m.Vertices {
		out.Vertices = append(out.Vertices, r3.Add(v, d))
	}
	return out
}

// prism stands a counter-clockwise outline from z0 to z1, closed by fans from
// the first vertex (the outline must be star-shaped from there).
func prism(outline []r2.Vec, z0, z1 float64) *mesh.Mesh {
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

func box(x0, y0, z0, x1, y1, z1 float64) *mesh.Mesh {
	return prism([]r2.Vec{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}}, z0, z1)
}

// revolve turns a closed profile of (r, z), clockwise in (r, z) where r > 0, about z.
// All r must be > 0: a ring.
func revolve(profile []r2.Vec, n int) *mesh.Mesh {
	m := &mesh.Mesh{}
	k := int32(len(profile))
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		for _, p := range profile {
			m.Vertices = append(m.Vertices, r3.Vec{X: p.X * cos, Y: p.X * sin, Z: p.Y})
		}
	}
	for i := range int32(n) {
		for j := range k {
			a, b := i*k+j, i*k+(j+1)%k
			c, d := (i+1)%int32(n)*k+j, (i+1)%int32(n)*k+(j+1)%k
			m.Facets = append(m.Facets, [3]int32{a, c, d}, [3]int32{a, d, b})
		}
	}
	if volume(m) < 0 {
		return inverted(m)
	}
	return m
}

// mushroom is a stem of radius 5 up to z = 10 under a head of radius 15 up to
// z = 14, with a flat underside; one solid.
func mushroom(n int) *mesh.Mesh {
	return spindle([]r2.Vec{{X: 5, Y: 0}, {X: 5, Y: 10}, {X: 15, Y: 10}, {X: 15, Y: 14}}, n)
}

// spindle turns an open profile from the lower to the upper end about z and
// closes it on the axis.
func spindle(profile []r2.Vec, n int) *mesh.Mesh {
	m := &mesh.Mesh{}
	k := len(profile)
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		for _, p := range profile {
			m.Vertices = append(m.Vertices, r3.Vec{X: p.X * cos, Y: p.X * sin, Z: p.Y})
		}
	}
	low, high := int32(n*k), int32(n*k+1)
	m.Vertices = append(m.Vertices, r3.Vec{Z: profile[0].Y}, r3.Vec{Z: profile[k-1].Y})
	for i := range n {
		at := func(i, j int) int32 { return int32(i%n*k + j) }
		for j := 0; j+1 < k; j++ {
			m.Facets = append(m.Facets, [3]int32{at(i, j), at(i+1, j), at(i+1, j+1)}, [3]int32{at(i, j), at(i+1, j+1), at(i, j+1)})
		}
		m.Facets = append(m.Facets, [3]int32{low, at(i+1, 0), at(i, 0)}, [3]int32{high, at(i, k-1), at(i+1, k-1)})
	}
	return m
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

func circle(n int, r float64) []r2.Vec {
	var out []r2.Vec
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		out = append(out, r2.Vec{X: r * cos, Y: r * sin})
	}
	return out
}

// torus, a ring of round section.
func torus(R, r float64, n, k int) *mesh.Mesh {
	var profile []r2.Vec
	for _, p := range circle(k, r) {
		profile = append(profile, r2.Vec{X: R + p.X, Y: p.Y})
	}
	return revolve(profile, n)
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
		return revolve([]r2.Vec{{X: r0, Y: z0}, {X: r1, Y: z0}, {X: r1, Y: z1}, {X: r0, Y: z1}}, n)
	}
	return map[string]*mesh.Mesh{
		"box":      box(0, 0, 0, 20, 10, 30),
		"star":     prism(append([]r2.Vec{{}}, star(7, 4, 12)[:13]...), 0, 9),
		"mushroom": mushroom(48),
		"tube":     ring(4, 9, 0, 25, 40),
		"torus":    torus(12, 4, 24, 12),
		"nested": join(box(-15, -15, 0, 15, 15, 30), inverted(box(-12, -12, 3, 12, 12, 27)),
			box(-9, -9, 6, 9, 9, 24), inverted(box(-6, -6, 9, 6, 6, 21)), moved(torus(3, 1, 20, 12), r3.Vec{Z: 15})),
		"two posts": join(box(0, 0, 0, 5, 5, 40), box(20, 0, 0, 25, 5, 30), moved(torus(6, 2, 24, 12), r3.Vec{X: 10, Y: 20, Z: 2})),
		"sheet":     box(0, 0, 0, 40, 0.01, 30),
		"touching edge": weld(join(box(0, 0, 0, 5, 5, 10), box(5, 5, 0, 10, 10, 10),
			box(5, 5, 10, 10, 10, 20))),
		"overlapping": join(box(0, 0, 0, 10, 10, 10), box(4, 4, 4, 14, 14, 14), ring(3, 8, -2, 12, 24)),
		"chain": join(moved(torus(12, 3, 30, 12), r3.Vec{Z: 3}),
			moved(torus(12, 3, 30, 12), r3.Vec{X: 12, Z: 3})),
	}
}
