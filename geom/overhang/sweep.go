package overhang

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/disjoint"
	"conewright/geom/field"
	"conewright/geom/mesh"
	"conewright/geom/zone"
)

// sweep holds the state of one sweep.
type sweep struct {
	mesh   *mesh.Mesh
	field  *field.Field
	height []float64 // z + f of each vertex
	order  []int32   // used vertices, lowest first
	rank   []int32   // place in order; -1: unused
	isMin  []bool    // no neighbour comes earlier
	down   []float64 // of minima: z of the angle-weighted normal of the warped mesh
	onBase []bool    // corner of a facet of the base

	joined disjoint.Sets // of vertices
	low    []int32       // of a root: its lowest vertex
	solid  []int32       // of a root: its lowest vertex where solid is born, if that is its lowest within noise; else -1
	high   []int32       // of a root: its highest vertex so far
	rests  []bool        // of a root: something within noise of its lowest lies on the base
	starts []Start
	roots  int
	single bool // one connected surface
}

func newSweep(m *mesh.Mesh, f *field.Field) *sweep {
	n := len(m.Vertices)
	s := &sweep{mesh: m, field: f, height: make([]float64, n), rank: make([]int32, n), onBase: make([]bool, n)}
	for i := range s.rank {
		s.rank[i] = -1
	}
	for i, v := range m.Vertices {
		s.height[i] = f.Warp(v).Z
	}
	for i, t := range m.Facets {
		for _, v := range t {
			if s.rank[v] < 0 {
				s.rank[v] = 0
				s.order = append(s.order, v)
			}
		}
		if zone.IsBase(m, i) {
			s.onBase[t[0]], s.onBase[t[1]], s.onBase[t[2]] = true, true, true
		}
	}
	slices.SortFunc(s.order, func(a, b int32) int {
		return cmp.Or(cmp.Compare(s.height[a], s.height[b]), cmp.Compare(a, b))
	})
	for r, v := range s.order {
		s.rank[v] = int32(r)
	}
	return s
}

// warped returns vertex v in the warped frame.
func (s *sweep) warped(v int32) r3.Vec {
	p := s.mesh.Vertices[v]
	p.Z = s.height[v]
	return p
}

// findMinima marks the vertices with no earlier neighbour and sums up their
// angle-weighted normals.
func (s *sweep) findMinima() {
	n := len(s.mesh.Vertices)
	s.isMin, s.down = make([]bool, n), make([]float64, n)
	for _, v := range s.order {
		s.isMin[v] = true
	}
	for _, t := range s.mesh.Facets {
		for k := range 3 {
			a, b := t[k], t[(k+1)%3]
			if s.rank[a] < s.rank[b] {
				a = b
			}
			if t[k] != t[(k+1)%3] {
				s.isMin[a] = false
			}
		}
	}
	for _, t := range s.mesh.Facets {
		for k := range 3 {
			if !s.isMin[t[k]] {
				continue
			}
			o := s.warped(t[k])
			p, q := r3.Sub(s.warped(t[(k+1)%3]), o), r3.Sub(s.warped(t[(k+2)%3]), o)
			c := r3.Cross(p, q)
			if size := r3.Norm(c); size > 0 {
				s.down[t[k]] += math.Atan2(size, r3.Dot(p, q)) * c.Z / size
			}
		}
	}
}

// earlier returns each vertex's neighbours that come before it, end to end.
func (s *sweep) earlier() (start, list []int32) {
	start = make([]int32, len(s.mesh.Vertices)+1)
	each := func(do func(late, early int32)) {
		for _, t := range s.mesh.Facets {
			for k := range 3 {
				a, b := t[k], t[(k+1)%3]
				if s.rank[a] < s.rank[b] {
					a, b = b, a
				}
				if a != b {
					do(a, b)
				}
			}
		}
	}
	each(func(late, _ int32) { start[late+1]++ })
	for i := range len(start) - 1 {
		start[i+1] += start[i]
	}
	next := slices.Clone(start)
	list = make([]int32, start[len(start)-1])
	each(func(late, early int32) {
		list[next[late]] = early
		next[late]++
	})
	return start, list
}

// run sweeps upward and notes each piece that rises at least least.
func (s *sweep) run(least float64) {
	n := len(s.mesh.Vertices)
	s.joined = disjoint.New(n)
	s.low, s.solid, s.high = make([]int32, n), make([]int32, n), make([]int32, n)
	s.rests = make([]bool, n)
	start, list := s.earlier()
	for _, v := range s.order {
		s.low[v], s.high[v], s.solid[v] = v, v, -1
		s.rests[v] = s.onBase[v]
		if s.isMin[v] {
			s.roots++
			if s.down[v] < 0 {
				s.solid[v] = v
			}
			continue
		}
		for _, w := range list[start[v]:start[v+1]] {
			s.join(v, w, least)
		}
	}
	s.single = s.roots == 1
	for _, v := range s.order {
		if s.joined[v] == v {
			s.note(v, s.height[s.high[v]], least, false)
		}
	}
}

// join unites the pieces of v, the vertex that the sweep is at, and of its
// earlier neighbour w. The piece that began later ends here.
func (s *sweep) join(v, w int32, least float64) {
	a, b := s.joined.Root(w), s.joined.Root(v)
	if a == b {
		return
	}
	if s.low[b] == v && !s.isMin[v] { // v has no piece yet
		s.joined.Join(a, v)
		s.high[a] = v
		if s.rests[v] && s.height[v]-s.height[s.low[a]] < noise {
			s.rests[a] = true
		}
		return
	}
	if s.rank[s.low[b]] < s.rank[s.low[a]] {
		a, b = b, a
	}
	s.note(b, s.height[v], least, true)
	s.roots--
	// One flat, broken up by noise: what holds for a part of it holds for all. Two
	// pieces of the same lowest height that meet further up stay their own.
	if s.height[v]-s.height[s.low[a]] < noise {
		if s.solid[a] < 0 {
			s.solid[a] = s.solid[b]
		}
		s.rests[a] = s.rests[a] || s.rests[b]
	}
	s.joined.Join(a, b)
	s.high[a] = v
}

// note keeps the piece of root if solid was born with it, off the base, and it
// rises at least least by the given height.
func (s *sweep) note(root int32, height, least float64, merges bool) {
	v := s.solid[root]
	if v < 0 || s.rests[root] {
		return
	}
	if rise := height - s.height[v]; rise >= least {
		s.starts = append(s.starts, Start{At: s.mesh.Vertices[v], Height: s.height[v], Rise: rise, Merges: merges})
	}
}
