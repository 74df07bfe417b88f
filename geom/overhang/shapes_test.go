package overhang

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/field"
	"conewright/geom/form"
	"conewright/geom/mesh"
)

// spindle turns a profile of (r, z) from its lower to its upper end about the
// upright through at, and closes it on the axis.
func spindle(profile []r2.Vec, n int, at r2.Vec) *mesh.Mesh {
	closed := append([]r2.Vec{{Y: profile[0].Y}}, profile...)
	return ring(append(closed, r2.Vec{Y: profile[len(profile)-1].Y}), n, at)
}

// ring turns a closed profile of (r, z), counter-clockwise, about the upright
// through at.
func ring(profile []r2.Vec, n int, at r2.Vec) *mesh.Mesh {
	return form.Moved(form.Turned(profile, n), r3.Vec{X: at.X, Y: at.Y})
}

func box(x0, y0, z0, x1, y1, z1 float64) *mesh.Mesh {
	return form.Box(r3.Vec{X: x0, Y: y0, Z: z0}, r3.Vec{X: x1, Y: y1, Z: z1})
}

// fine quarters all facets until no side is longer than length.
func fine(m *mesh.Mesh, length float64) *mesh.Mesh {
	for {
		long := 0.0
		for i := range m.Facets {
			a, b, c := m.Corners(i)
			long = max(long, r3.Norm(r3.Sub(a, b)), r3.Norm(r3.Sub(b, c)), r3.Norm(r3.Sub(c, a)))
		}
		if long <= length {
			return m
		}
		out := &mesh.Mesh{Vertices: append([]r3.Vec(nil), m.Vertices...)}
		middles := map[[2]int32]int32{}
		middle := func(a, b int32) int32 {
			key := [2]int32{min(a, b), max(a, b)}
			if v, ok := middles[key]; ok {
				return v
			}
			v := int32(len(out.Vertices))
			out.Vertices = append(out.Vertices, r3.Scale(0.5, r3.Add(m.Vertices[key[0]], m.Vertices[key[1]])))
			middles[key] = v
			return v
		}
		for i, f := range m.Facets {
			x, y, z := middle(f[0], f[1]), middle(f[1], f[2]), middle(f[2], f[0])
			out.Facets = append(out.Facets, [3]int32{f[0], x, z}, [3]int32{x, f[1], y}, [3]int32{z, y, f[2]}, [3]int32{x, y, z})
			if m.Origins != nil {
				o := m.Origin(i)
				out.Origins = append(out.Origins, o, o, o, o)
			}
		}
		m = out
	}
}

// noisy moves every vertex by up to size along each axis, but keeps the bed.
func noisy(m *mesh.Mesh, size float64, r *rand.Rand) *mesh.Mesh {
	out := &mesh.Mesh{Facets: m.Facets, Origins: m.Origins}
	for _, v := range m.Vertices {
		d := func() float64 { return size * (2*r.Float64() - 1) }
		out.Vertices = append(out.Vertices, r3.Vec{X: v.X + d(), Y: v.Y + d(), Z: v.Z + d()})
	}
	return out
}

// sectionsOf cuts the warped mesh at half a step over its lowest point and then
// every step, the slow and obvious way.
func sectionsOf(m *mesh.Mesh, f *field.Field, step float64) []Section {
	h := make([]float64, len(m.Vertices))
	low, high := math.Inf(1), math.Inf(-1)
	for i, v := range m.Vertices {
		h[i] = f.Warp(v).Z
		low, high = min(low, h[i]), max(high, h[i])
	}
	n := int((high - low) / step)
	next := make([]map[[2]int32][2]int32, n) // edge by which a facet is entered -> by which it is left
	firsts := make([][][2]int32, n)          // the entries in the mesh's order
	for i := range next {
		next[i] = map[[2]int32][2]int32{}
	}
	level := func(i int) float64 { return low + (float64(i)+0.5)*step }
	for _, t := range m.Facets {
		lo, hi := min(h[t[0]], h[t[1]], h[t[2]]), max(h[t[0]], h[t[1]], h[t[2]])
		for i := max(0, int((lo-low)/step-0.5)); i < n && level(i) <= hi; i++ {
			var in, out [2]int32
			cut := false
			for k := range 3 {
				a, b := t[k], t[(k+1)%3]
				e := [2]int32{min(a, b), max(a, b)}
				if up := h[b] > level(i); up != (h[a] > level(i)) {
					cut = true
					if up {
						out = e
					} else {
						in = e
					}
				}
			}
			if cut { // seen from outside, solid under the level is on the left going from falling to rising edge
				next[i][in] = out
				firsts[i] = append(firsts[i], in)
			}
		}
	}
	var all []Section
	for i, links := range next {
		s := Section{Height: level(i)}
		for _, e := range firsts[i] {
			var c []r2.Vec
			for {
				to, ok := links[e]
				if !ok {
					break
				}
				delete(links, e)
				w := (s.Height - h[e[0]]) / (h[e[1]] - h[e[0]])
				p := r3.Add(m.Vertices[e[0]], r3.Scale(w, r3.Sub(m.Vertices[e[1]], m.Vertices[e[0]])))
				c = append(c, r2.Vec{X: p.X, Y: p.Y})
				e = to
			}
			if len(c) > 0 {
				s.Contours = append(s.Contours, c)
			}
		}
		all = append(all, s)
	}
	return all
}

func area(c [][]r2.Vec) float64 {
	sum := 0.0
	for _, p := range c {
		for i := range p {
			sum += r2.Cross(p[i], p[(i+1)%len(p)]) / 2
		}
	}
	return sum
}
