package hatch

import (
	"math"
	"math/bits"

	"conewright/geom/mesh"

	"gonum.org/v1/gonum/spatial/r3"
)

// join makes a mesh of triangles: corners that agree exactly become one vertex, in
// the order in which they come.
func join(triangles [][3]r3.Vec) *mesh.Mesh {
	m := &mesh.Mesh{Facets: make([][3]int32, len(triangles)), Vertices: make([]r3.Vec, 0, len(triangles)/2+3)}
	known := newPlaces(3 * len(triangles))
	for i := range triangles {
		for k, v := range &triangles[i] {
			m.Facets[i][k] = known.number(m, v)
		}
	}
	return m
}

// places finds the vertex at a place: several times quicker than a map, since a
// drawing that is dragged joins all that hangs free anew for each picture.
type places struct {
	slots []int32 // a vertex and one; 0: free
	shift int
}

// newPlaces has room for as many places twice over, so that probes stay short.
func newPlaces(most int) *places {
	size := bits.Len(uint(most)) + 1
	return &places{slots: make([]int32, 1<<size), shift: 64 - size}
}

// number returns the vertex at v, which it adds to the mesh where there is none.
func (p *places) number(m *mesh.Mesh, v r3.Vec) int32 {
	mask := len(p.slots) - 1
	at := int(mix(v) >> p.shift)
	for ; p.slots[at] > 0; at = (at + 1) & mask {
		if i := p.slots[at] - 1; m.Vertices[i] == v {
			return i
		}
	}
	m.Vertices = append(m.Vertices, v)
	p.slots[at] = int32(len(m.Vertices))
	return p.slots[at] - 1
}

// mix scatters places over 64 bits, by odd constants of no meaning.
func mix(v r3.Vec) uint64 {
	h := math.Float64bits(v.X+0) * 0x9e3779b97f4a7c15 // -0 becomes 0, which equals it
	h = (bits.RotateLeft64(h, 31) ^ math.Float64bits(v.Y+0)) * 0xbf58476d1ce4e5b9
	h = (bits.RotateLeft64(h, 31) ^ math.Float64bits(v.Z+0)) * 0x94d049bb133111eb
	return (h ^ h>>29) * 0x9e3779b97f4a7c15
}
