package madeparts

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Shape is a smooth body: negative inside, about the distance to its surface.
type Shape func(p r3.Vec) float64

// Limb is a round bar from a to b whose radius goes from ra to rb.
func Limb(a, b r3.Vec, ra, rb float64) Shape {
	along := r3.Sub(b, a)
	return func(p r3.Vec) float64 {
		k := math.Max(0, math.Min(1, r3.Dot(r3.Sub(p, a), along)/r3.Norm2(along)))
		return r3.Norm(r3.Sub(p, r3.Add(a, r3.Scale(k, along)))) - ra - k*(rb-ra)
	}
}

// Ball is a sphere.
func Ball(c r3.Vec, r float64) Shape {
	return func(p r3.Vec) float64 { return r3.Norm(r3.Sub(p, c)) - r }
}

// Block is a box with rounded edges.
func Block(low, high r3.Vec, round float64) Shape {
	c, h := r3.Scale(0.5, r3.Add(low, high)), r3.Scale(0.5, r3.Sub(high, low))
	return func(p r3.Vec) float64 {
		d := r3.Sub(p, c)
		q := r3.Vec{X: math.Abs(d.X) - h.X + round, Y: math.Abs(d.Y) - h.Y + round, Z: math.Abs(d.Z) - h.Z + round}
		out := r3.Vec{X: math.Max(q.X, 0), Y: math.Max(q.Y, 0), Z: math.Max(q.Z, 0)}
		return r3.Norm(out) + math.Min(0, math.Max(q.X, math.Max(q.Y, q.Z))) - round
	}
}

// Blend joins shapes with fillets of about a radius (polynomial smooth minimum,
// common practice).
func Blend(fillet float64, shapes ...Shape) Shape {
	return func(p r3.Vec) float64 {
		d := math.Inf(1)
		for _, s := range shapes {
			e := s(p)
			if h := math.Max(0, fillet-math.Abs(d-e)); fillet > 0 && !math.IsInf(d, 1) {
				d = math.Min(d, e) - h*h/(4*fillet)
			} else {
				d = math.Min(d, e)
			}
		}
		return d
	}
}

// Without takes a shape out of another.
func Without(from, taken Shape) Shape {
	return func(p r3.Vec) float64 { return math.Max(from(p), -taken(p)) }
}

// Surface meshes what of a shape stands over z = 0, by marching tetrahedra: six
// a cell, all about the same diagonal, so that neighbours fit.
func Surface(s Shape, low, high r3.Vec, step float64) Mesh {
	n := [3]int{int((high.X-low.X)/step) + 2, int((high.Y-low.Y)/step) + 2, int(high.Z/step) + 2}
	at := func(i, j, k int) r3.Vec {
		return r3.Vec{X: low.X + float64(i)*step, Y: low.Y + float64(j)*step, Z: float64(k) * step}
	}
	const outside = 1e9 // so that all edges through the bed are cut at one height
	stride := [3]int{1, n[0], n[0] * n[1]}
	values := make([]float64, n[0]*n[1]*(n[2]+1))
	for k := -1; k < n[2]; k++ {
		for j := range n[1] {
			for i := range n[0] {
				v := outside
				if k >= 0 && i > 0 && j > 0 && i < n[0]-1 && j < n[1]-1 && k < n[2]-1 {
					v = s(at(i, j, k))
				}
				values[i*stride[0]+j*stride[1]+(k+1)*stride[2]] = v
			}
		}
	}
	var m Mesh
	orders := [6][3]int{{0, 1, 2}, {1, 2, 0}, {2, 0, 1}, {0, 2, 1}, {2, 1, 0}, {1, 0, 2}}
	for k := -1; k+1 < n[2]; k++ {
		for j := 0; j+1 < n[1]; j++ {
			for i := 0; i+1 < n[0]; i++ {
				for _, order := range orders {
					var corner [4][3]int
					corner[0] = [3]int{i, j, k}
					for c, axis := range order {
						corner[c+1] = corner[c]
						corner[c+1][axis]++
					}
					var points [4]r3.Vec
					var value [4]float64
					for c, q := range corner {
						points[c] = at(q[0], q[1], q[2])
						value[c] = values[q[0]+q[1]*stride[1]+(q[2]+1)*stride[2]]
					}
					m = m.tetrahedron(points, value)
				}
			}
		}
	}
	return m
}

// tetrahedron adds the surface within one.
func (m Mesh) tetrahedron(p [4]r3.Vec, v [4]float64) Mesh {
	var in, out []int
	for i := range v {
		if v[i] < 0 {
			in = append(in, i)
		} else {
			out = append(out, i)
		}
	}
	cut := func(a, b int) r3.Vec { // from inside a to outside b
		const least = 0.05 // keeps facets from shrinking to nothing
		k := math.Max(least, math.Min(1-least, v[a]/(v[a]-v[b])))
		return r3.Add(p[a], r3.Scale(k, r3.Sub(p[b], p[a])))
	}
	add := func(a, b, c, inside r3.Vec) {
		n := r3.Cross(r3.Sub(b, a), r3.Sub(c, a))
		if r3.Dot(n, r3.Sub(inside, a)) > 0 {
			b, c = c, b
		}
		m = append(m, [3]r3.Vec{a, b, c})
	}
	switch len(in) {
	case 1:
		add(cut(in[0], out[0]), cut(in[0], out[1]), cut(in[0], out[2]), p[in[0]])
	case 2:
		a, b, c, d := cut(in[0], out[0]), cut(in[0], out[1]), cut(in[1], out[1]), cut(in[1], out[0])
		add(a, b, c, p[in[0]])
		add(a, c, d, p[in[0]])
	case 3:
		add(cut(in[0], out[0]), cut(in[1], out[0]), cut(in[2], out[0]), p[in[0]])
	}
	return m
}
