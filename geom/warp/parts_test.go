package warp

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/field"
	"conewright/geom/form"
	"conewright/geom/mesh"
)

const deg = math.Pi / 180

// turned revolves a profile of (radius, z), from the axis to the axis, about
// the upright line through c; n facets a turn.
func turned(c r2.Vec, profile [][2]float64, n int) *mesh.Mesh {
	var points []r2.Vec
	for _, p := range profile {
		points = append(points, r2.Vec{X: p[0], Y: p[1]})
	}
	return form.Moved(form.Turned(points, n), r3.Vec{X: c.X, Y: c.Y})
}

// tilted turns m about a slanted line, so that no side is upright or level.
func tilted(m *mesh.Mesh, angle float64) *mesh.Mesh {
	q := r3.NewRotation(angle, r3.Vec{X: 1, Y: 2, Z: 0.5})
	out := &mesh.Mesh{Facets: m.Facets}
	for _, v := range m.Vertices {
		out.Vertices = append(out.Vertices, q.Rotate(v))
	}
	return out
}

func parts() map[string]*mesh.Mesh {
	bollard := [][2]float64{{0, 0}, {8, 0}, {8, 30}, {20, 30}, {20, 40}, {5, 46}, {0, 46}}
	return map[string]*mesh.Mesh{
		"box":           form.Box(r3.Vec{X: -20, Y: -15}, r3.Vec{X: 30, Y: 15, Z: 25}),
		"box far off":   form.Box(r3.Vec{X: 60, Y: 40}, r3.Vec{X: 140, Y: 90, Z: 5}),
		"box on corner": form.Box(r3.Vec{}, r3.Vec{X: 30, Y: 30, Z: 10}),
		"tilted box":    tilted(form.Box(r3.Vec{X: -20, Y: -15}, r3.Vec{X: 30, Y: 15, Z: 25}), 0.7),
		"bollard":       turned(r2.Vec{}, bollard, 24),
		"bollard aside": turned(r2.Vec{X: 33, Y: 7}, bollard, 90),
		"plate":         form.Box(r3.Vec{X: -90, Y: -90}, r3.Vec{X: 90, Y: 90, Z: 0.3}),
	}
}

func fields() map[string]field.Field {
	return map[string]field.Field{
		"outward":       field.NewCone(45*deg, false, r2.Vec{}, 0),
		"inward":        field.NewCone(30*deg, true, r2.Vec{}, 0),
		"rounded":       field.NewCone(45*deg, false, r2.Vec{}, 2),
		"rounded wide":  field.NewCone(60*deg, true, r2.Vec{X: 3, Y: 1}, 15),
		"rounded tight": field.NewCone(15*deg, false, r2.Vec{X: -19.9999, Y: 2}, 0.01),
		"off axis":      field.NewCone(45*deg, true, r2.Vec{X: 11.3, Y: 4.1}, 0),
		"ramp":          field.NewRamp(45*deg, 1),
		"level":         {},
	}
}

// balanced fails unless every directed edge is met by its opposite, which is
// what closed means; corners may be merged first.
func balanced(t testing.TB, name string, facets [][3]int32) {
	t.Helper()
	count := map[[2]int32]int{}
	for _, f := range facets {
		for k := range f {
			count[[2]int32{f[k], f[(k+1)%3]}]++
		}
	}
	for e, n := range count {
		if n != count[[2]int32{e[1], e[0]}] {
			t.Fatalf("%s: edge %v is met %d times one way and %d the other", name, e, n, count[[2]int32{e[1], e[0]}])
		}
	}
}

func volume(m *mesh.Mesh) (v float64) {
	for i := range m.Facets {
		a, b, c := m.Corners(i)
		v += r3.Dot(a, r3.Cross(b, c)) / 6
	}
	return v
}

func area(m *mesh.Mesh) (s float64) {
	for i := range m.Facets {
		a, b, c := m.Corners(i)
		s += r3.Norm(r3.Cross(r3.Sub(b, a), r3.Sub(c, a))) / 2
	}
	return s
}

// worstInside samples how far facet i of a refined mesh, lifted at its corners,
// strays in z from the exact surface.
func worstInside(m *mesh.Mesh, i int, f *field.Field, random *rand.Rand, samples int) (worst float64) {
	a, b, c := m.Corners(i)
	fa, fb, fc := f.At(plan(a)), f.At(plan(b)), f.At(plan(c))
	for range samples {
		u, v := random.Float64(), random.Float64()
		if u+v > 1 {
			u, v = 1-u, 1-v
		}
		switch random.IntN(4) {
		case 0: // on a side
			v = 0
		case 1:
			u = 1 - v
		}
		p := r3.Add(r3.Scale(1-u-v, a), r3.Add(r3.Scale(u, b), r3.Scale(v, c)))
		worst = math.Max(worst, math.Abs((1-u-v)*fa+u*fb+v*fc-f.At(plan(p))))
	}
	return worst
}
