package mesh

import (
	"math"

	"conewright/geom/disjoint"

	"gonum.org/v1/gonum/spatial/r3"
)

// NearestPiece marks the facets of the solid piece that is nearest to p. Bodies
// hang together by edges of two facets (ByEdge), and a cavity belongs to the
// smallest body round it. Bodies that are drawn through each other count as
// pieces of their own. Of pieces equally near it is the first.
func (m *Mesh) NearestPiece(p r3.Vec) []bool {
	adj := m.Adjacent()
	b := m.bodies(adj)
	pieces := disjoint.New(len(b.list))
	b.joinOpen(adj, pieces)
	for i := range b.list {
		pieces.Join(int32(b.solidOf(i)), int32(i))
	}
	nearest, least := int32(-1), math.Inf(1)
	for i := range m.Facets {
		if d := m.distance(p, i); d < least {
			nearest, least = pieces.Root(b.of[i]), d
		}
	}
	marked := make([]bool, len(m.Facets))
	for i := range marked {
		marked[i] = pieces.Root(b.of[i]) == nearest
	}
	return marked
}

// joinOpen joins bodies that meet at an edge of many facets where one of them
// alone isn't closed: so each piece of a closed mesh is closed.
func (b *bodies) joinOpen(adj *Adjacency, pieces disjoint.Sets) {
	sides := map[int32]map[int32]int{} // edge -> body -> how often it is run along one way more than the other
	for h, g := range adj.Twin {
		if g != Many {
			continue
		}
		e := adj.Edge[h]
		if sides[e] == nil {
			sides[e] = map[int32]int{}
		}
		if from, to := b.mesh.Ends(int32(h)); from < to {
			sides[e][b.of[h/3]]++
		} else {
			sides[e][b.of[h/3]]--
		}
	}
	for _, bodies := range sides {
		first, open := int32(-1), false
		for i, n := range bodies {
			open = open || n != 0
			first = max(first, i)
		}
		for i := range bodies {
			if open {
				pieces.Join(first, i)
			}
		}
	}
}

// solidOf returns the body that cavity i is a cavity of; i itself for a solid,
// and for a cavity with nothing round it.
func (b *bodies) solidOf(i int) int {
	home := i
	if b.list[i].volume >= 0 || !b.list[i].closed {
		return home
	}
	for j := range b.list {
		q := &b.list[j]
		if q.volume > 0 && q.closed && (home == i || q.volume < b.list[home].volume) && b.within(&b.list[i], q) {
			home = j
		}
	}
	return home
}

// distance returns how far p is from facet i, mm.
func (m *Mesh) distance(p r3.Vec, i int) float64 {
	a, b, c := m.Corners(i)
	corners := [3]r3.Vec{a, b, c}
	n := r3.Cross(r3.Sub(b, a), r3.Sub(c, a))
	above := r3.Norm2(n) > 0 // a facet without area is its sides
	least := math.Inf(1)
	for k, from := range corners {
		side, off := r3.Sub(corners[(k+1)%3], from), r3.Sub(p, from)
		above = above && r3.Dot(r3.Cross(n, side), off) >= 0
		t := 0.0
		if length := r3.Norm2(side); length > 0 {
			t = math.Max(0, math.Min(1, r3.Dot(side, off)/length))
		}
		least = math.Min(least, r3.Norm(r3.Sub(off, r3.Scale(t, side))))
	}
	if above {
		return math.Min(least, math.Abs(r3.Dot(r3.Sub(p, a), r3.Unit(n))))
	}
	return least
}
