package mesh

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// Weld returns the mesh with vertices made one that lie at exactly the same
// place (tol = 0), or at most tol mm apart. Each vertex goes to the nearest one
// kept before it, so no chain of small steps crushes a part. Facets of which
// corners became one stay, as degenerate facets; vertices without facets go,
// the others keep their order.
func (m *Mesh) Weld(tol float64) *Mesh {
	m = m.compact()
	w := newWelder(len(m.Vertices))
	to := make([]int32, len(m.Vertices))
	for i, v := range m.Vertices {
		to[i] = w.index(v)
	}
	out := &Mesh{Vertices: w.vertices, Facets: make([][3]int32, len(m.Facets)), Origins: m.Origins}
	for i, f := range m.Facets {
		out.Facets[i] = [3]int32{to[f[0]], to[f[1]], to[f[2]]}
	}
	if tol > 0 {
		all := make([]int32, len(out.Vertices))
		for i := range all {
			all[i] = int32(i)
		}
		out, _ = out.weldNear(all, tol, nil)
	}
	return out
}

// weldNear makes those of the given vertices one that lie at most tol apart,
// unless apart says that the two must not meet. It returns how many went.
func (m *Mesh) weldNear(which []int32, tol float64, apart func(a, b int32) bool) (*Mesh, int) {
	grid := map[[3]int32][]int32{} // kept vertices by cell; cells are tol wide
	cell := func(v r3.Vec, dx, dy, dz int) [3]int32 {
		return [3]int32{cellOf(v.X, tol, dx), cellOf(v.Y, tol, dy), cellOf(v.Z, tol, dz)}
	}
	to := make([]int32, len(m.Vertices))
	for i := range to {
		to[i] = int32(i)
	}
	gone := 0
	for _, i := range which {
		v, best := m.Vertices[i], tol*tol
		for n := range 27 {
			for _, j := range grid[cell(v, n%3-1, n/3%3-1, n/9-1)] {
				if d := r3.Norm2(r3.Sub(m.Vertices[j], v)); d <= best && (apart == nil || !apart(i, j)) && (d < best || to[i] == i) {
					best, to[i] = d, j
				}
			}
		}
		if to[i] == i {
			c := cell(v, 0, 0, 0)
			grid[c] = append(grid[c], i)
		} else {
			gone++
		}
	}
	if gone == 0 {
		return m, 0
	}
	out := &Mesh{Vertices: m.Vertices, Facets: slices.Clone(m.Facets), Origins: m.Origins}
	for i, f := range out.Facets {
		out.Facets[i] = [3]int32{to[f[0]], to[f[1]], to[f[2]]}
	}
	return out.compact(), gone
}

// cellOf numbers cells; the clamp only joins cells that are absurdly far out.
func cellOf(x, width float64, step int) int32 {
	c := math.Floor(x/width) + float64(step)
	return int32(math.Max(math.Min(c, math.MaxInt32), math.MinInt32))
}

// compact drops vertices that no facet uses; the others keep their order.
func (m *Mesh) compact() *Mesh {
	used := make([]int32, len(m.Vertices))
	for _, f := range m.Facets {
		used[f[0]], used[f[1]], used[f[2]] = 1, 1, 1
	}
	if !slices.Contains(used, 0) {
		return m
	}
	out := &Mesh{Facets: make([][3]int32, len(m.Facets)), Origins: m.Origins}
	for i, v := range m.Vertices {
		if used[i] == 1 {
			used[i] = int32(len(out.Vertices))
			out.Vertices = append(out.Vertices, v)
		}
	}
	for i, f := range m.Facets {
		out.Facets[i] = [3]int32{used[f[0]], used[f[1]], used[f[2]]}
	}
	return out
}
