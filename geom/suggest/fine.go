package suggest

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/mesh"
	"conewright/geom/zone"
)

const (
	// leastEdge, mm, and edgeShare of the part's size bound how long an edge of
	// the surveyed mesh is: short enough for a facet to be judged as a whole.
	leastEdge = 1.0
	edgeShare = 1.0 / 60
	// fineFacets is how many facets are made before edges are left as they are.
	fineFacets = 40_000
)

// wallShare is how much longer edges of facets that don't face down may be:
// nothing begins there.
const wallShare = 3

// fine returns m with long edges halved again and again, still closed: an edge
// is halved for both of its facets.
func fine(m *mesh.Mesh) *mesh.Mesh {
	box := m.Bounds()
	longest := math.Max(leastEdge, edgeShare*r3.Norm(r3.Sub(box.Max, box.Min)))
	out := &mesh.Mesh{Vertices: append([]r3.Vec(nil), m.Vertices...), Facets: m.Facets}
	for range 12 {
		middle := long(out, longest)
		if len(middle) == 0 || len(out.Facets)+2*len(middle) > max(fineFacets, len(m.Facets)*11/10) {
			break
		}
		halve(out, middle)
	}
	return out
}

// long returns the edges, by their ends, that are too long.
func long(m *mesh.Mesh, longest float64) map[[2]int32]int32 {
	found := map[[2]int32]int32{}
	for i, t := range m.Facets {
		a, b, c := m.Corners(i)
		most := longest
		if n := r3.Cross(r3.Sub(b, a), r3.Sub(c, a)); n.Z > -0.3*r3.Norm(n) || max(a.Z, b.Z, c.Z) <= zone.BedTol {
			most *= wallShare
		}
		for k, side := range [3]r3.Vec{r3.Sub(b, a), r3.Sub(c, b), r3.Sub(a, c)} {
			if r3.Norm2(side) > most*most {
				found[edge(t[k], t[(k+1)%3])] = -1
			}
		}
	}
	return found
}

func edge(a, b int32) [2]int32 {
	if a > b {
		a, b = b, a
	}
	return [2]int32{a, b}
}

// halve halves the edges of middle once, adding their middles to m.
func halve(m *mesh.Mesh, middle map[[2]int32]int32) {
	mid := func(a, b int32) int32 {
		key := edge(a, b)
		v, ok := middle[key]
		if !ok {
			return -1
		}
		if v < 0 {
			v = int32(len(m.Vertices))
			middle[key] = v
			m.Vertices = append(m.Vertices, r3.Scale(0.5, r3.Add(m.Vertices[a], m.Vertices[b])))
		}
		return v
	}
	facets := make([][3]int32, 0, len(m.Facets)+2*len(middle))
	for _, t := range m.Facets {
		ab, bc, ca := mid(t[0], t[1]), mid(t[1], t[2]), mid(t[2], t[0])
		facets = pieces(facets, t, ab, bc, ca)
	}
	m.Facets = facets
}

// pieces appends the pieces of a facet whose sides have the given middles, or
// -1.
func pieces(out [][3]int32, t [3]int32, ab, bc, ca int32) [][3]int32 {
	a, b, c := t[0], t[1], t[2]
	// Turn the facet until its cut sides come first.
	for range 2 {
		if ab < 0 || bc < 0 && ca >= 0 {
			a, b, c = b, c, a
			ab, bc, ca = bc, ca, ab
		}
	}
	switch {
	case ab < 0:
		return append(out, [3]int32{a, b, c})
	case bc < 0:
		return append(out, [3]int32{a, ab, c}, [3]int32{ab, b, c})
	case ca < 0:
		return append(out, [3]int32{ab, b, bc}, [3]int32{a, ab, bc}, [3]int32{a, bc, c})
	}
	return append(out, [3]int32{a, ab, ca}, [3]int32{ab, b, bc}, [3]int32{ca, bc, c}, [3]int32{ab, bc, ca})
}
