package mesh

import (
	"cmp"
	"slices"
)

// Values of Adjacency.Twin for half-edges without exactly one partner.
const (
	Open = -1 // no other facet has this edge
	Many = -2 // more than two facets meet at this edge
)

// Adjacency tells which facets meet at which edges. Half-edge h = 3i + k is the
// side of facet i from its corner k to its corner (k+1) mod 3.
type Adjacency struct {
	Edge  []int32 // half-edge -> edge; edges count from 0, by their lower, then higher vertex
	Edges int     // number of edges
	Twin  []int32 // half-edge -> the other facet's half-edge, Open or Many

	OpenEdges        int // edges of one facet
	NonManifoldEdges int // edges of three facets or more
	TurnedEdges      int // edges whose two facets run along it the same way
}

// Ends returns the vertices that half-edge h runs from and to.
func (m *Mesh) Ends(h int32) (from, to int32) {
	f, k := m.Facets[h/3], h%3
	return f[k], f[(k+1)%3]
}

// Adjacent returns the adjacency of m. Sides of no length (both ends the same
// vertex) are edges like others.
func (m *Mesh) Adjacent() *Adjacency {
	n := 3 * len(m.Facets)
	a := &Adjacency{Edge: make([]int32, n), Twin: make([]int32, n)}
	start, byLow := m.halfEdgesByLowEnd()
	high := func(h int32) int32 { _, high := m.sortedEnds(h); return high }
	for v := range m.Vertices {
		sides := byLow[start[v]:start[v+1]]
		slices.SortFunc(sides, func(g, h int32) int { return cmp.Or(cmp.Compare(high(g), high(h)), cmp.Compare(g, h)) })
		for from := 0; from < len(sides); {
			to := from + 1
			for to < len(sides) && high(sides[to]) == high(sides[from]) {
				to++
			}
			a.note(m, sides[from:to])
			from = to
		}
	}
	return a
}

// note gives the half-edges of one edge its number and their twins.
func (a *Adjacency) note(m *Mesh, group []int32) {
	for _, h := range group {
		a.Edge[h], a.Twin[h] = int32(a.Edges), Many
	}
	a.Edges++
	switch len(group) {
	case 1:
		a.Twin[group[0]] = Open
		a.OpenEdges++
	case 2:
		g, h := group[0], group[1]
		a.Twin[g], a.Twin[h] = h, g
		if from, _ := m.Ends(g); m.Facets[h/3][h%3] == from {
			a.TurnedEdges++
		}
	default:
		a.NonManifoldEdges++
	}
}

func (m *Mesh) sortedEnds(h int32) (low, high int32) {
	low, high = m.Ends(h)
	if low > high {
		low, high = high, low
	}
	return low, high
}

// halfEdgesByLowEnd sorts the half-edges by the lower of their vertices
// (counting sort): those of vertex v are byLow[start[v]:start[v+1]].
func (m *Mesh) halfEdgesByLowEnd() (start, byLow []int32) {
	n := int32(3 * len(m.Facets))
	start = make([]int32, len(m.Vertices)+2)
	for h := range n {
		low, _ := m.sortedEnds(h)
		start[low+2]++
	}
	for i := 2; i < len(start); i++ {
		start[i] += start[i-1]
	}
	byLow = make([]int32, n)
	for h := range n {
		low, _ := m.sortedEnds(h)
		byLow[start[low+1]] = h
		start[low+1]++
	}
	return start, byLow
}
