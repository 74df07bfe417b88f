package mesh

import (
	"cmp"
	"slices"
)

func degenerate(f [3]int32) bool {
	return f[0] == f[1] || f[1] == f[2] || f[2] == f[0]
}

// dropDegenerate drops facets of which two corners are the same vertex. What
// stood along the side that is left then meets directly. Facets of three
// corners in a line stay: they hold the mesh together.
func (m *Mesh) dropDegenerate() (*Mesh, int) {
	keep := make([]bool, len(m.Facets))
	for i, f := range m.Facets {
		keep[i] = !degenerate(f)
	}
	return m.keep(keep)
}

// keep returns the facets marked, and how many went.
func (m *Mesh) keep(mark []bool) (*Mesh, int) {
	gone := 0
	for _, k := range mark {
		if !k {
			gone++
		}
	}
	if gone == 0 {
		return m, 0
	}
	out := &Mesh{Vertices: m.Vertices, Facets: make([][3]int32, 0, len(m.Facets)-gone)}
	for i, k := range mark {
		if k {
			out.Facets = append(out.Facets, m.Facets[i])
			if m.Origins != nil {
				out.Origins = append(out.Origins, m.Origins[i])
			}
		}
	}
	return out.compact(), gone
}

// dropDoubled drops facets that lie on others with the same three corners: of
// those that look the same way one stays, and two that look against each other
// both go, for nothing is between them.
func (m *Mesh) dropDoubled() (*Mesh, int) {
	surplus := m.doubled()
	if len(surplus) == 0 {
		return m, 0
	}
	keep := make([]bool, len(m.Facets))
	for i := range keep {
		keep[i] = true
	}
	for _, i := range surplus {
		keep[i] = false
	}
	return m.keep(keep)
}

// doubled returns the facets that dropDoubled drops, in no order that matters.
func (m *Mesh) doubled() []int32 {
	var surplus []int32
	for _, group := range m.sameCorners() {
		var ways [2][]int32 // facets that look one way, and the other
		for _, i := range group {
			w := 0
			if m.odd(i) {
				w = 1
			}
			ways[w] = append(ways[w], i)
		}
		stay := -1
		switch n, k := len(ways[0]), len(ways[1]); {
		case n > k:
			stay = 0
		case k > n:
			stay = 1
		}
		for w, facets := range ways {
			if w == stay {
				facets = facets[1:]
			}
			surplus = append(surplus, facets...)
		}
	}
	return surplus
}

// sortedCorners returns the corners of facet i from low to high.
func (m *Mesh) sortedCorners(i int32) [3]int32 {
	f := m.Facets[i]
	slices.Sort(f[:])
	return f
}

// odd reports that the corners of facet i run against their sorted order.
func (m *Mesh) odd(i int32) bool {
	f := m.Facets[i]
	return (f[0] < f[1]) != ((f[1] < f[2]) != (f[2] < f[0]))
}

// sameCorners returns the groups of two facets or more that have the same
// three corners; degenerate facets don't count. Facets are gathered by their
// lowest corner first, so that hardly anything is left to sort.
func (m *Mesh) sameCorners() [][]int32 {
	start := make([]int32, len(m.Vertices)+2)
	for _, f := range m.Facets {
		start[min(f[0], f[1], f[2])+2]++
	}
	for i := 2; i < len(start); i++ {
		start[i] += start[i-1]
	}
	byLow := make([]int32, len(m.Facets))
	for i, f := range m.Facets {
		low := min(f[0], f[1], f[2])
		byLow[start[low+1]] = int32(i)
		start[low+1]++
	}
	var groups [][]int32
	for v := range m.Vertices {
		groups = m.groupSame(groups, byLow[start[v]:start[v+1]])
	}
	return groups
}

func (m *Mesh) groupSame(groups [][]int32, facets []int32) [][]int32 {
	if len(facets) < 2 {
		return groups
	}
	slices.SortStableFunc(facets, func(a, b int32) int {
		p, q := m.sortedCorners(a), m.sortedCorners(b)
		return cmp.Or(cmp.Compare(p[1], q[1]), cmp.Compare(p[2], q[2]))
	})
	for from := 0; from < len(facets); {
		to := from + 1
		for to < len(facets) && m.sortedCorners(facets[to]) == m.sortedCorners(facets[from]) {
			to++
		}
		if to-from > 1 && !degenerate(m.Facets[facets[from]]) {
			groups = append(groups, facets[from:to])
		}
		from = to
	}
	return groups
}
