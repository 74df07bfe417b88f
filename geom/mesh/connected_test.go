package mesh

import (
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// Two triangles that share a vertex are one body by vertex, two by edge; a third
// beside the first by an edge belongs to it either way.
func TestBodiesByEdgeAndByVertex(t *testing.T) {
	m := &Mesh{
		Vertices: []r3.Vec{{}, {X: 1}, {Y: 1}, {X: -1}, {Y: -1}, {X: 1, Y: 1}, {X: 9}, {X: 10}, {X: 9, Y: 1}},
		Facets:   [][3]int32{{0, 1, 2}, {0, 3, 4}, {1, 5, 2}, {6, 7, 8}},
	}
	for by, want := range map[Connection][]int32{ByEdge: {0, 1, 0, 2}, ByVertex: {0, 0, 0, 1}} {
		of, count := m.Bodies(by)
		most := int32(0)
		for i := range want {
			if of[i] != want[i] {
				t.Errorf("connection %d: facet %d is of body %d, want %d", by, i, of[i], want[i])
			}
			most = max(most, want[i])
		}
		if count != int(most)+1 {
			t.Errorf("connection %d: %d bodies, want %d", by, count, most+1)
		}
	}
}
