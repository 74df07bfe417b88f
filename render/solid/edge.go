package solid

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// EdgeKind tells when an edge is drawn.
type EdgeKind uint8

// The kinds of edges.
const (
	Smooth EdgeKind = iota // drawn where it is a silhouette
	Crease                 // the surface bends by more than CreaseAngle: always drawn
	Border                 // not between exactly two facets that agree: always drawn
)

// CreaseAngle is the bend from which on an edge is drawn, radians: more than
// a round surface bends from facet to facet in usual part files (common
// practice, no source).
const CreaseAngle = 30 * math.Pi / 180

// Edge is an edge of the mesh with its two facets; Right is -1 on a border.
type Edge struct {
	A, B        int32 // vertices, in the winding of Left
	Left, Right int32 // facets
	Kind        EdgeKind
	Hollow      bool // the surface bends inward: as a silhouette it is always hidden by its own facet
}

// half is a facet's side, filed under its lower vertex.
type half struct {
	other, facet int32
	forward      bool // runs from the lower vertex to the other
}

// findEdges pairs the facets' sides. Sides are filed by their lower vertex, in
// facet order, so the result doesn't depend on chance.
func (s *Solid) findEdges() {
	start, halves := s.fileSides()
	cos := math.Cos(CreaseAngle)
	s.Edges = make([]Edge, 0, len(halves)/2+1)
	s.Closed = true
	for v := range s.Mesh.Vertices {
		group := halves[start[v]:start[v+1]]
		for i := range group {
			if group[i].facet < 0 {
				continue
			}
			e := s.pair(int32(v), group, i, cos)
			s.Closed = s.Closed && e.Kind != Border
			s.Edges = append(s.Edges, e)
		}
	}
}

// fileSides returns all sides grouped by lower vertex: those of v are
// halves[start[v]:start[v+1]].
func (s *Solid) fileSides() (start []int32, halves []half) {
	start = make([]int32, len(s.Mesh.Vertices)+2)
	each := func(visit func(lo, hi, facet int32, forward bool)) {
		for i, f := range s.Mesh.Facets {
			for k := range 3 {
				a, b := f[k], f[(k+1)%3]
				if a < b {
					visit(a, b, int32(i), true)
				} else if b < a {
					visit(b, a, int32(i), false)
				}
			}
		}
	}
	each(func(lo, _, _ int32, _ bool) { start[lo+2]++ })
	for v := 2; v < len(start); v++ {
		start[v] += start[v-1]
	}
	halves = make([]half, start[len(start)-1])
	each(func(lo, hi, facet int32, forward bool) {
		halves[start[lo+1]] = half{hi, facet, forward}
		start[lo+1]++
	})
	return start[:len(start)-1], halves
}

// pair makes the edge of group[i] and marks all its sides as done.
func (s *Solid) pair(v int32, group []half, i int, cos float64) Edge {
	first := group[i]
	e := Edge{A: v, B: first.other, Left: first.facet, Right: -1, Kind: Border}
	if !first.forward {
		e.A, e.B = e.B, e.A
	}
	count, opposed := 1, false
	for j := i + 1; j < len(group); j++ {
		if group[j].other != first.other || group[j].facet < 0 {
			continue
		}
		count++
		e.Right, opposed = group[j].facet, group[j].forward != first.forward
		group[j].facet = -1
	}
	group[i].facet = -1
	if count != 2 || !opposed {
		return e
	}
	e.Kind = Smooth
	e.Hollow = !s.bent && s.hollow(&e)
	if r3.Dot(s.flat[e.Left], s.flat[e.Right]) < cos {
		e.Kind = Crease
	}
	return e
}

// hollow reports whether the right facet rises over the left one's plane.
func (s *Solid) hollow(e *Edge) bool {
	a := s.Mesh.Vertices[e.A]
	for _, v := range s.Mesh.Facets[e.Right] {
		if v != e.A && v != e.B {
			return r3.Dot(s.Normals[e.Left], r3.Sub(s.Mesh.Vertices[v], a)) > 0
		}
	}
	return false
}
