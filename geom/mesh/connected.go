package mesh

import "conewright/geom/disjoint"

// Connection says when two facets belong to one body.
type Connection uint8

// Connections.
const (
	// ByEdge joins facets at edges that exactly two facets share. Bodies that
	// touch in a vertex, or along an edge of four facets, stay apart.
	ByEdge Connection = iota
	// ByVertex joins facets that share a vertex.
	ByVertex
)

// Bodies numbers the connected pieces of the mesh from 0, in the order of their
// first facets, and returns the number of each facet and how many there are.
func (m *Mesh) Bodies(by Connection) (of []int32, count int) {
	all := make([]int32, len(m.Facets))
	for i := range all {
		all[i] = int32(i)
	}
	if by == ByVertex {
		return m.BodiesWithin(all)
	}
	sets := disjoint.New(len(m.Facets))
	for h, twin := range m.Adjacent().Twin {
		if twin >= 0 {
			sets.Join(int32(h/3), twin/3)
		}
	}
	return numbered(all, func(i int32) int32 { return sets.Root(i) })
}

// BodiesWithin is Bodies by vertex for some facets alone: of holds a number for
// each of them.
func (m *Mesh) BodiesWithin(facets []int32) (of []int32, count int) {
	sets := disjoint.New(len(m.Vertices))
	for _, i := range facets {
		t := m.Facets[i]
		sets.Join(t[0], t[1])
		sets.Join(t[0], t[2])
	}
	return numbered(facets, func(i int32) int32 { return sets.Root(m.Facets[i][0]) })
}

// numbered gives facets of one root one number.
func numbered(facets []int32, root func(facet int32) int32) (of []int32, count int) {
	of = make([]int32, len(facets))
	numbers := make(map[int32]int32)
	for k, i := range facets {
		r := root(i)
		n, known := numbers[r]
		if !known {
			n = int32(len(numbers))
			numbers[r] = n
		}
		of[k] = n
	}
	return of, len(numbers)
}
