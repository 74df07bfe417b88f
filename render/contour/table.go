package contour

import "sync"

// table finds numbers by edges, which are filed by their lower vertex: few have
// the same one, so that this is several times quicker than a map.
type table struct {
	first []int32 // of each vertex: its newest entry, 1 being the first; 0: none
	edges []edge  // of the entries; an entry's number is its index
	next  []int32 // the entry before it of the same lower vertex, as in first
}

// tablePool keeps pairs of empty tables: clearing new ones for all vertices would
// take longer than most lines.
var tablePool = sync.Pool{New: func() any { return new([2]table) }}

// fit makes room in an empty table for so many vertices.
func (t *table) fit(vertices int) {
	if vertices > len(t.first) {
		t.first = make([]int32, vertices)
	}
}

// put files an edge under the next number, from 0 on.
func (t *table) put(e edge) {
	t.edges = append(t.edges, e)
	t.next = append(t.next, t.first[e[0]])
	t.first[e[0]] = int32(len(t.edges))
}

// last returns the number under which an edge was filed last.
func (t *table) last(e edge) (number int32, ok bool) {
	for i := t.first[e[0]]; i > 0; i = t.next[i-1] {
		if t.edges[i-1] == e {
			return i - 1, true
		}
	}
	return 0, false
}

// clear makes the table empty.
func (t *table) clear() {
	for _, e := range t.edges {
		t.first[e[0]] = 0
	}
	t.edges, t.next = t.edges[:0], t.next[:0]
}
