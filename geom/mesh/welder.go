package mesh

import (
	"math"
	"math/bits"

	"gonum.org/v1/gonum/spatial/r3"
)

// welder gives vertices at exactly the same place the same index: a hash table
// with open addressing over the bits of the coordinates.
type welder struct {
	vertices []r3.Vec
	table    []int32 // index + 1; 0 is free
	shift    uint    // 64 - log2 of the table's size
}

// newWelder returns a welder with room for n vertices; it grows beyond.
func newWelder(n int) *welder {
	w := &welder{vertices: make([]r3.Vec, 0, n)}
	w.resize(max(n, 8))
	return w
}

// resize makes the table at least twice as large as n, so that runs stay short.
func (w *welder) resize(n int) {
	log := bits.Len(uint(2*n - 1))
	w.table, w.shift = make([]int32, 1<<log), uint(64-log)
	for i, v := range w.vertices {
		w.table[w.slot(v)] = int32(i + 1)
	}
}

// slot returns where v is, or where it would go.
func (w *welder) slot(v r3.Vec) int {
	// Odd constants from the golden ratio and its kin (Knuth, The Art of
	// Computer Programming 3, section 6.4: multiplicative hashing).
	h := math.Float64bits(v.X) * 0x9e3779b97f4a7c15
	h = (h ^ h>>32 ^ math.Float64bits(v.Y)) * 0xbf58476d1ce4e5b9
	h = (h ^ h>>32 ^ math.Float64bits(v.Z)) * 0x94d049bb133111eb
	for i := int(h >> w.shift); ; i = (i + 1) & (len(w.table) - 1) {
		if k := w.table[i]; k == 0 || w.vertices[k-1] == v {
			return i
		}
	}
}

// index returns v's index, a new one where it hasn't been seen. v is finite.
func (w *welder) index(v r3.Vec) int32 {
	v = r3.Vec{X: v.X + 0, Y: v.Y + 0, Z: v.Z + 0} // -0 becomes 0: same place, same bits
	i := w.slot(v)
	if w.table[i] == 0 {
		w.vertices = append(w.vertices, v)
		w.table[i] = int32(len(w.vertices))
		if 2*len(w.vertices) > len(w.table) {
			w.resize(len(w.vertices))
			return int32(len(w.vertices) - 1)
		}
	}
	return w.table[i] - 1
}
