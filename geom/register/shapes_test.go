package register

import (
	"context"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/field"
	"conewright/geom/form"
	"conewright/geom/mesh"
	"conewright/geom/warp"
)

// ring is a level polygon, counter-clockwise, of a loft.
type ring struct {
	z float64
	p []r2.Vec
}

// loft joins polygons of equally many corners; the first and last are closed
// by fans, so they must be seen whole from their corner 0.
func loft(rings ...ring) *mesh.Mesh {
	m := &mesh.Mesh{}
	n := int32(len(rings[0].p))
	for _, r := range rings {
		for _, v := range r.p {
			m.Vertices = append(m.Vertices, r3.Vec{X: v.X, Y: v.Y, Z: r.z})
		}
	}
	for k := range int32(len(rings) - 1) {
		a, b := k*n, (k+1)*n
		for i := range n {
			j := (i + 1) % n
			m.Facets = append(m.Facets, [3]int32{a + i, a + j, b + j}, [3]int32{a + i, b + j, b + i})
		}
	}
	top := int32(len(rings)-1) * n
	for i := int32(1); i < n-1; i++ {
		m.Facets = append(m.Facets, [3]int32{0, i + 1, i}, [3]int32{top, top + i, top + i + 1})
	}
	return m
}

// torus revolves a closed profile of (radius, z), counter-clockwise as seen
// with the radius to the right and z up, about the upright through c.
func torus(c r2.Vec, profile [][2]float64, n int) *mesh.Mesh {
	var points []r2.Vec
	for _, p := range profile {
		points = append(points, r2.Vec{X: p[0], Y: p[1]})
	}
	return form.Moved(form.Turned(points, n), r3.Vec{X: c.X, Y: c.Y})
}

func circlePoly(c r2.Vec, r float64, n int) []r2.Vec {
	var p []r2.Vec
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		p = append(p, r2.Vec{X: c.X + r*cos, Y: c.Y + r*sin})
	}
	return p
}

func ell(x, y, a, b, t float64) []r2.Vec { // an L, seen whole from its inner corner
	return []r2.Vec{{X: x + t, Y: y + t}, {X: x + t, Y: y + b}, {X: x, Y: y + b}, {X: x, Y: y}, {X: x + a, Y: y}, {X: x + a, Y: y + t}}
}

type shape struct {
	name string
	m    *mesh.Mesh
	f    field.Field
}

const degree = math.Pi / 180

// shapes are parts of our own, unwarped, with the field each is to have.
func shapes() []shape {
	c := r2.Vec{X: 125, Y: 105}
	at := func(dx, dy float64) r2.Vec { return r2.Vec{X: c.X + dx, Y: c.Y + dy} }
	return []shape{
		{"bollard", loft(ring{0, circlePoly(c, 8, 72)}, ring{12, circlePoly(c, 8, 72)}, ring{18, circlePoly(c, 15, 72)}, ring{22, circlePoly(c, 15, 72)}),
			field.NewCone(45*degree, false, c, 0)},
		{"angle", loft(ring{0, ell(110, 90, 30, 24, 9)}, ring{15, ell(110, 90, 30, 24, 9)}),
			field.Field{}},
		{"leaning angle", loft(ring{0, ell(110, 90, 30, 24, 9)}, ring{14, ell(113, 92, 24, 19, 8)}),
			field.NewRamp(30*degree, 1)},
		{"tube with a shelf", torus(c, [][2]float64{{8, 0}, {11, 0}, {11, 20}, {8, 20}, {8, 14}, {4, 12}, {4, 11}, {8, 9}}, 64),
			field.NewCone(30*degree, true, at(1, 0), 1)},
		{"off-centre arm", loft(ring{0, ell(115, 95, 14, 14, 6)}, ring{12, ell(115, 95, 14, 14, 6)}, ring{15, ell(112, 92, 40, 18, 10)}, ring{19, ell(112, 92, 40, 18, 10)}),
			field.NewCone(45*degree, false, at(-5, -5), 0)},
		{"dome", loft(ring{0, circlePoly(c, 12, 60)}, ring{4, circlePoly(at(0.5, 0), 11.3, 60)}, ring{8, circlePoly(at(1, 0), 8.8, 60)}, ring{10.5, circlePoly(at(1.5, 0), 5.2, 60)}, ring{11.5, circlePoly(at(1.8, 0), 2.5, 60)}),
			field.NewCone(20*degree, false, c, 2)},
	}
}

func (s *shape) warped() *mesh.Mesh {
	m, _, err := warp.Warp(context.Background(), s.m, &s.f, 0.02)
	if err != nil {
		panic(err)
	}
	return m
}

// transform returns a copy of m with every vertex moved; mirrored facets are
// turned.
func transform(m *mesh.Mesh, mirror bool, by func(v r3.Vec) r3.Vec) *mesh.Mesh {
	out := &mesh.Mesh{Facets: append([][3]int32(nil), m.Facets...)}
	for _, v := range m.Vertices {
		out.Vertices = append(out.Vertices, by(v))
	}
	if mirror {
		for i, f := range out.Facets {
			out.Facets[i] = [3]int32{f[0], f[2], f[1]}
		}
	}
	return out
}
