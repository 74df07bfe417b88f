package render

import (
	"container/heap"
	"math"

	"conewright/geom/mesh"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// rising is a height over facets: a share of z, and more that depends on the place in
// plan and changes by at most steep in a millimetre.
type rising struct {
	z     float64
	more  func(r2.Vec) float64
	steep float64
}

// leastWithin is how far a height that is found may be over the least, mm: less than a
// dimension says.
const leastWithin = 0.001

// mostHalvings bounds the work, whatever the height is like.
const mostHalvings = 100_000

// least returns the least height of the facets that are asked for; +Inf where there
// are none. It halves the facet that may hold the lowest place until that can't be
// lower than a corner that is known.
func (h rising) least(m *mesh.Mesh, wanted func(facet int) bool) float64 {
	found := math.Inf(1)
	var open pieces
	add := func(corners [3]r3.Vec) {
		p, low := h.piece(corners)
		found = math.Min(found, low)
		if p.bound < found-leastWithin {
			open = append(open, p)
		}
	}
	for i := range m.Facets {
		if wanted(i) {
			a, b, c := m.Corners(i)
			add([3]r3.Vec{a, b, c})
		}
	}
	heap.Init(&open)
	for n := 0; len(open) > 0 && open[0].bound < found-leastWithin && n < mostHalvings; n++ {
		t := heap.Pop(&open).(piece).corners
		longest := 0
		for k := range t {
			if r3.Norm2(r3.Sub(t[k], t[(k+1)%3])) > r3.Norm2(r3.Sub(t[longest], t[(longest+1)%3])) {
				longest = k
			}
		}
		a, b, c := t[longest], t[(longest+1)%3], t[(longest+2)%3]
		middle := r3.Scale(0.5, r3.Add(a, b))
		for _, half := range [2][3]r3.Vec{{a, middle, c}, {middle, b, c}} {
			p, low := h.piece(half)
			found = math.Min(found, low)
			heap.Push(&open, p)
		}
	}
	return found
}

// piece returns a triangle with a bound under its heights, and its lowest corner's.
func (h rising) piece(corners [3]r3.Vec) (p piece, low float64) {
	low = math.Inf(1)
	leastZ, leastMore, longest := math.Inf(1), math.Inf(1), 0.0
	for k, v := range corners {
		at, next := r2.Vec{X: v.X, Y: v.Y}, corners[(k+1)%3]
		z, more := h.z*v.Z, h.more(at)
		low = math.Min(low, z+more)
		leastZ, leastMore = math.Min(leastZ, z), math.Min(leastMore, more)
		longest = math.Max(longest, r2.Norm(r2.Sub(at, r2.Vec{X: next.X, Y: next.Y})))
	}
	// No place is farther from the nearest corner than an edge over the root of 3.
	return piece{corners, leastZ + leastMore - h.steep*longest/math.Sqrt(3)}, low
}

// piece is part of a facet, pieces a heap of them: the lowest bound on top.
type piece struct {
	corners [3]r3.Vec
	bound   float64
}

type pieces []piece

func (p pieces) Len() int           { return len(p) }
func (p pieces) Less(i, j int) bool { return p[i].bound < p[j].bound }
func (p pieces) Swap(i, j int)      { p[i], p[j] = p[j], p[i] }
func (p *pieces) Push(x any)        { *p = append(*p, x.(piece)) }
func (p *pieces) Pop() any {
	last := len(*p) - 1
	x := (*p)[last]
	*p = (*p)[:last]
	return x
}
