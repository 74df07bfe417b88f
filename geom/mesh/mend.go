package mesh

import "conewright/geom/message"

// Mending counts what Mend did.
type Mending struct {
	Welded     int // vertices at open edges that were joined to others
	Degenerate int // facets dropped of which two corners were the same
	Doubled    int // facets dropped that lay on others
	Turned     int // facets turned over
	Holes      int // holes closed
	Filled     int // facets added to close them
}

// Any reports that something was mended.
func (d Mending) Any() bool { return d != Mending{} }

// Message says what was mended.
func (d Mending) Message() message.Text {
	return counts([]count{
		{d.Welded, "vertices welded"}, {d.Degenerate, "degenerate facets dropped"},
		{d.Doubled, "doubled facets dropped"}, {d.Turned, "facets turned over"},
		{d.Holes, "holes closed"}, {d.Filled, "facets added"},
	})
}

func (d Mending) String() string { return d.Message().String() }

// weldShare is how far apart, as a share of the part's size, vertices at open
// edges may be to be the same: some ten times the rounding of numbers written
// with five digits.
const weldShare = 1e-4

// Mend returns the mesh mended as far as that can be done without guessing,
// and what was done. In this order: vertices at one place are made one;
// degenerate and doubled facets go; where the surface is open, vertices closer
// than 1e-4 of the part's size are joined; all facets of a body are turned to
// look the same way; holes are closed (small or flat ones, see closeHoles);
// bodies are turned outward, those that lie inside others (cavities) inward.
//
// Only vertices at open edges are moved, and never two that an edge joins: thin
// walls and fine detail stay. A sound mesh comes back as it was, facet for
// facet. Check tells what could not be mended.
func (m *Mesh) Mend() (*Mesh, Mending) {
	var did Mending
	out := m.Weld(0).clean(&did)
	adj := out.Adjacent()
	if adj.OpenEdges > 0 {
		if out = out.weldRims(adj, &did); did.Welded > 0 {
			adj = out.Adjacent()
		}
	}
	out = out.turnOver(out.bodies(adj), &did)
	if adj.OpenEdges == 0 {
		return out, did
	}
	if closed := out.closeHoles(&did); closed != out {
		out = closed.turnOver(closed.bodies(closed.Adjacent()), &did)
	}
	return out, did
}

// clean drops degenerate and doubled facets.
func (m *Mesh) clean(did *Mending) *Mesh {
	out, n := m.dropDegenerate()
	did.Degenerate += n
	out, n = out.dropDoubled()
	did.Doubled += n
	return out
}

// turnOver turns the facets that b marks.
func (m *Mesh) turnOver(b *bodies, did *Mending) *Mesh {
	out := &Mesh{Vertices: m.Vertices, Facets: make([][3]int32, len(m.Facets)), Origins: m.Origins}
	copy(out.Facets, m.Facets)
	for i, t := range b.turned {
		if t {
			f := out.Facets[i]
			out.Facets[i] = [3]int32{f[0], f[2], f[1]}
			did.Turned++
		}
	}
	return out
}

// weldRims joins near vertices at open edges, if that closes any.
func (m *Mesh) weldRims(adj *Adjacency, did *Mending) *Mesh {
	r := m.rim(adj)
	out, n := m.weldNear(r.vertices, weldShare*m.size(), r.joined)
	if n == 0 {
		return m
	}
	then := *did
	then.Welded += n
	if out = out.clean(&then); out.Adjacent().OpenEdges >= adj.OpenEdges {
		return m
	}
	*did = then
	return out
}

// rim holds the vertices at open edges, from low to high, and which of them
// are joined by an edge.
type rim struct {
	vertices []int32
	edges    map[[2]int32]bool
}

func (m *Mesh) rim(adj *Adjacency) rim {
	on := make([]bool, len(m.Vertices))
	for h, g := range adj.Twin {
		if g == Open {
			from, to := m.Ends(int32(h))
			on[from], on[to] = true, true
		}
	}
	r := rim{edges: map[[2]int32]bool{}}
	for v, is := range on {
		if is {
			r.vertices = append(r.vertices, int32(v))
		}
	}
	for h := range int32(len(adj.Twin)) {
		if low, high := m.sortedEnds(h); on[low] && on[high] {
			r.edges[[2]int32{low, high}] = true
		}
	}
	return r
}

func (r rim) joined(a, b int32) bool {
	return r.edges[[2]int32{min(a, b), max(a, b)}]
}
