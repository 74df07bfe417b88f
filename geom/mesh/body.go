package mesh

import (
	"gonum.org/v1/gonum/spatial/r3"
)

// bodies are the pieces of a mesh that hang together by edges of two facets.
type bodies struct {
	mesh   *Mesh
	of     []int32 // facet -> body
	turned []bool  // facet -> has to be turned to look outward
	list   []body
}

// body is one piece, as it is once the marked facets are turned.
type body struct {
	facets []int32
	box    r3.Box
	volume float64
	closed bool
}

// bodies finds the pieces and which facets have to be turned: first so that
// all of a body look the same way, then so that bodies look outward and
// cavities inward.
func (m *Mesh) bodies(adj *Adjacency) *bodies {
	b := &bodies{mesh: m, of: make([]int32, len(m.Facets)), turned: make([]bool, len(m.Facets))}
	for i := range b.of {
		b.of[i] = -1
	}
	for i := range m.Facets {
		if b.of[i] < 0 {
			b.list = append(b.list, body{facets: b.spread(adj, int32(i))})
		}
	}
	for i := range b.list {
		b.measure(&b.list[i])
	}
	b.findClosed(adj)
	b.turnOutward()
	return b
}

// spread walks from facet to facet and marks those that look against the
// majority.
func (b *bodies) spread(adj *Adjacency, first int32) []int32 {
	id := int32(len(b.list))
	facets := []int32{first}
	b.of[first] = id
	against := 0
	for k := 0; k < len(facets); k++ {
		i := facets[k]
		if b.turned[i] {
			against++
		}
		for side := range int32(3) {
			h := 3*i + side
			g := adj.Twin[h]
			if g < 0 || b.of[g/3] >= 0 {
				continue
			}
			from, _ := b.mesh.Ends(h)
			other, _ := b.mesh.Ends(g)
			b.of[g/3] = id
			b.turned[g/3] = b.turned[i] != (from == other)
			facets = append(facets, g/3)
		}
	}
	if 2*against > len(facets) {
		b.turn(facets)
	}
	return facets
}

func (b *bodies) turn(facets []int32) {
	for _, i := range facets {
		b.turned[i] = !b.turned[i]
	}
}

func (b *bodies) measure(p *body) {
	a, _, _ := b.mesh.Corners(int(p.facets[0]))
	p.box = r3.Box{Min: a, Max: a}
	for _, i := range p.facets {
		v := b.mesh.tetrahedron(a, int(i))
		if b.turned[i] {
			v = -v
		}
		p.volume += v
		for _, k := range b.mesh.Facets[i] {
			p.box = grown(p.box, b.mesh.Vertices[k])
		}
	}
}

func grown(box r3.Box, v r3.Vec) r3.Box {
	return r3.Box{
		Min: r3.Vec{X: min(box.Min.X, v.X), Y: min(box.Min.Y, v.Y), Z: min(box.Min.Z, v.Z)},
		Max: r3.Vec{X: max(box.Max.X, v.X), Y: max(box.Max.Y, v.Y), Z: max(box.Max.Z, v.Z)},
	}
}

// findClosed marks the bodies of which every edge is run along as often one
// way as the other.
func (b *bodies) findClosed(adj *Adjacency) {
	for i := range b.list {
		b.list[i].closed = true
	}
	type side struct{ body, edge int32 }
	balance := map[side]int{} // at edges of many facets only
	for h, g := range adj.Twin {
		i := b.of[h/3]
		switch g {
		case Open:
			b.list[i].closed = false
		case Many:
			from, to := b.mesh.Ends(int32(h))
			if (from < to) != b.turned[h/3] {
				balance[side{i, adj.Edge[h]}]++
			} else {
				balance[side{i, adj.Edge[h]}]--
			}
		}
	}
	for s, n := range balance {
		if n != 0 {
			b.list[s.body].closed = false
		}
	}
}

// maxNesting bounds the search for bodies within bodies, which compares each
// with each. A mesh of more bodies keeps the way they look, and so does one in
// which that would take more than maxNestingWork facets looked at, some seconds.
const (
	maxNesting     = 2000
	maxNestingWork = 1 << 30
)

// turnOutward turns closed bodies so that those inside an even number of
// others look outward, and those inside an odd number, being cavities, inward.
func (b *bodies) turnOutward() {
	var closed []int
	for i := range b.list {
		if b.list[i].closed {
			closed = append(closed, i)
		}
	}
	if len(closed) > maxNesting {
		return
	}
	work := 0
	for _, i := range closed {
		for _, j := range closed {
			if contains(b.list[j].box, b.list[i].box) {
				work += withinPoints * len(b.list[j].facets)
			}
		}
	}
	if work > maxNestingWork {
		return
	}
	for _, i := range closed {
		p, cavity := &b.list[i], false
		for _, j := range closed {
			if i != j && b.within(p, &b.list[j]) {
				cavity = !cavity
			}
		}
		if p.volume != 0 && (p.volume < 0) != cavity {
			b.turn(p.facets)
			p.volume = -p.volume
		}
	}
}
