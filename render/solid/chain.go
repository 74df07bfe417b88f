package solid

import (
	"slices"

	"conewright/geom/parallel"

	"gonum.org/v1/gonum/spatial/r3"
)

// Chain is a run of edges drawn as one line. Normals holds for each of its
// segments the mean of the two facets' normals: the way out of the solid.
type Chain struct {
	Points  []r3.Vec
	Normals []r3.Vec
}

// Creases returns creases and borders as chains.
func (s *Solid) Creases() []Chain {
	var edges []int32
	for i := range s.Edges {
		if s.Edges[i].Kind != Smooth {
			edges = append(edges, int32(i))
		}
	}
	return s.chain(edges)
}

// Silhouettes returns the smooth edges between facets seen from the front and
// from behind by a viewer in the direction toward, as chains. Those where the
// surface bends inward are left out: their own facet hides them.
func (s *Solid) Silhouettes(toward r3.Vec) []Chain {
	front := make([]bool, len(s.Normals))
	parallel.Spans(len(front), parallel.Stretch, func(_, from, to int) {
		for i := from; i < to; i++ {
			front[i] = r3.Dot(s.Normals[i], toward) > 0
		}
	})
	found := make([][]int32, parallel.SpanCount(len(s.Edges), parallel.Stretch))
	parallel.Spans(len(s.Edges), parallel.Stretch, func(block, from, to int) {
		for i := from; i < to; i++ {
			e := &s.Edges[i]
			if e.Kind == Smooth && !e.Hollow && front[e.Left] != front[e.Right] {
				found[block] = append(found[block], int32(i))
			}
		}
	})
	return s.chain(slices.Concat(found...))
}

// end is one of the up to two edges that meet in a vertex where a chain may
// run on.
type end struct {
	edges [2]int32
	count int32
}

// chain joins edges at vertices where exactly two of them meet.
func (s *Solid) chain(edges []int32) []Chain {
	ends := s.ends(edges)
	used := make(map[int32]bool, len(edges))
	var chains []Chain
	follow := func(edge, from int32) {
		if !used[edge] {
			chains = append(chains, s.follow(edge, from, ends, used))
		}
	}
	for _, e := range edges { // first those that begin somewhere
		if a, b := s.Edges[e].A, s.Edges[e].B; ends[a].count != 2 {
			follow(e, a)
		} else if ends[b].count != 2 {
			follow(e, b)
		}
	}
	for _, e := range edges { // then rings
		follow(e, s.Edges[e].A)
	}
	return chains
}

func (s *Solid) ends(edges []int32) map[int32]*end {
	store := make([]end, 0, 2*len(edges))
	ends := make(map[int32]*end, len(edges))
	for _, e := range edges {
		for _, v := range [2]int32{s.Edges[e].A, s.Edges[e].B} {
			at := ends[v]
			if at == nil {
				store = append(store, end{})
				at = &store[len(store)-1]
				ends[v] = at
			}
			if at.count < 2 {
				at.edges[at.count] = e
			}
			at.count++
		}
	}
	return ends
}

func (s *Solid) follow(edge, from int32, ends map[int32]*end, used map[int32]bool) Chain {
	c := Chain{Points: []r3.Vec{s.Mesh.Vertices[from]}}
	for {
		used[edge] = true
		e := &s.Edges[edge]
		next := e.A + e.B - from
		c.Points = append(c.Points, s.Mesh.Vertices[next])
		c.Normals = append(c.Normals, s.wayOut(e))
		at := ends[next]
		if at.count != 2 {
			return c
		}
		edge = at.edges[0] + at.edges[1] - edge
		if used[edge] {
			return c
		}
		from = next
	}
}

func (s *Solid) wayOut(e *Edge) r3.Vec {
	n := s.Normals[e.Left]
	if e.Right >= 0 {
		n = r3.Add(n, s.Normals[e.Right])
	}
	if l := r3.Norm(n); l > 0 {
		return r3.Scale(1/l, n)
	}
	return r3.Vec{}
}

// Outline returns all edges, of whatever kind, between facets seen from the
// front and from behind, as chains: what a neighbouring part is drawn with.
func (s *Solid) Outline(toward r3.Vec) []Chain {
	var edges []int32
	for i := range s.Edges {
		e := &s.Edges[i]
		if e.Right < 0 || (r3.Dot(s.Normals[e.Left], toward) > 0) != (r3.Dot(s.Normals[e.Right], toward) > 0) {
			edges = append(edges, int32(i))
		}
	}
	return s.chain(edges)
}
