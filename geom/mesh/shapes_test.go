package mesh

import (
	"bytes"
	"encoding/binary"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// box is a cuboid of twelve facets.
func box(x0, y0, z0, x1, y1, z1 float64) *Mesh {
	m := &Mesh{}
	for i := range 8 {
		v := r3.Vec{X: x0, Y: y0, Z: z0}
		if i&1 != 0 {
			v.X = x1
		}
		if i&2 != 0 {
			v.Y = y1
		}
		if i&4 != 0 {
			v.Z = z1
		}
		m.Vertices = append(m.Vertices, v)
	}
	for _, q := range [][4]int32{{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4}, {2, 6, 7, 3}, {0, 4, 6, 2}, {1, 3, 7, 5}} {
		m.Facets = append(m.Facets, [3]int32{q[0], q[1], q[2]}, [3]int32{q[0], q[2], q[3]})
	}
	return m
}

// ring turns a closed profile of (r, z) with r > 0, clockwise as drawn with r to
// the right, about z in n steps.
func ring(profile []r2.Vec, n int) *Mesh {
	m := &Mesh{}
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
			m.Facets = append(m.Facets, [3]int32{a, b, d}, [3]int32{a, d, c})
		}
	}
	return m
}

// torus of radii R and r, its tube of k sides.
func torus(R, r float64, n, k int) *Mesh {
	var profile []r2.Vec
	for i := range k {
		sin, cos := math.Sincos(-2 * math.Pi * float64(i) / float64(k))
		profile = append(profile, r2.Vec{X: R + r*cos, Y: r * sin})
	}
	return ring(profile, n)
}

func join(ms ...*Mesh) *Mesh {
	out := &Mesh{}
	for _, m := range ms {
		n := int32(len(out.Vertices))
		out.Vertices = append(out.Vertices, m.Vertices...)
		for _, f := range m.Facets {
			out.Facets = append(out.Facets, [3]int32{f[0] + n, f[1] + n, f[2] + n})
		}
	}
	return out
}

func inverted(m *Mesh) *Mesh {
	out := &Mesh{Vertices: m.Vertices}
	for _, f := range m.Facets {
		out.Facets = append(out.Facets, [3]int32{f[0], f[2], f[1]})
	}
	return out
}

// without drops facets by number.
func without(m *Mesh, facets ...int) *Mesh {
	out := &Mesh{Vertices: m.Vertices}
	for i, f := range m.Facets {
		drop := false
		for _, k := range facets {
			drop = drop || i == k
		}
		if !drop {
			out.Facets = append(out.Facets, f)
		}
	}
	return out
}

// shattered gives every facet vertices of its own, each moved by up to noise.
func shattered(m *Mesh, noise float64) *Mesh {
	r := rand.New(rand.NewPCG(1, 2))
	out := &Mesh{}
	for i := range m.Facets {
		a, b, c := m.Corners(i)
		n := int32(len(out.Vertices))
		for _, v := range []r3.Vec{a, b, c} {
			d := r3.Vec{X: r.Float64() - 0.5, Y: r.Float64() - 0.5, Z: r.Float64() - 0.5}
			out.Vertices = append(out.Vertices, r3.Add(v, r3.Scale(noise, d)))
		}
		out.Facets = append(out.Facets, [3]int32{n, n + 1, n + 2})
	}
	return out
}

// stlBytes writes facets as they are, without rounding care.
func stlBytes(m *Mesh, header string) []byte {
	var buf bytes.Buffer
	head := make([]byte, 80)
	copy(head, header)
	buf.Write(head)
	binary.Write(&buf, binary.LittleEndian, uint32(len(m.Facets)))
	for i := range m.Facets {
		a, b, c := m.Corners(i)
		for _, v := range []r3.Vec{{}, a, b, c} {
			binary.Write(&buf, binary.LittleEndian, [3]float32{float32(v.X), float32(v.Y), float32(v.Z)})
		}
		buf.Write([]byte{0, 0})
	}
	return buf.Bytes()
}

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.9g, want %.9g within %g", what, got, want, tol)
	}
}
