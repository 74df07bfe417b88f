package zone

import (
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/mesh"
)

// Cut cuts m by p into what lies under the plane (against its normal) and what
// lies over it. Both are new meshes, closed where m is closed, and closed in
// the plane by the same cap: over's facets of it are mesh.CapBase, under's
// mesh.CapAbove; other facets keep their origin. Facets that lie in the plane
// stay what they are and go to the side where their solid is.
//
// The error is ErrPlane, or a *MissError where one side would be empty.
func Cut(m *mesh.Mesh, p Plane) (under, over *mesh.Mesh, err error) {
	s, low, high, err := newSplitter(m, p)
	if err != nil {
		return nil, nil, err
	}
	if low >= -SnapTol || high <= SnapTol {
		return nil, nil, &MissError{Low: low, High: high}
	}
	s.split()
	s.addCap(fillLoops(s.loops(), s.vertices, s.plane))
	return s.under.mesh(s.vertices), s.over.mesh(s.vertices), nil
}

// newSplitter begins a cut. The mesh reaches from low to high along the plane's
// normal, as seen from the plane. The error is ErrPlane.
func newSplitter(m *mesh.Mesh, p Plane) (s *splitter, low, high float64, err error) {
	p, err = p.unit()
	if err != nil {
		return nil, 0, 0, err
	}
	s = &splitter{mesh: m, plane: p}
	low, high = s.classify()
	return s, low, high, nil
}

// splitter holds one cut under way.
type splitter struct {
	mesh        *mesh.Mesh
	plane       Plane
	dist        []float64 // of each vertex from the plane
	side        []int8    // -1 under, 0 in the plane, +1 over
	vertices    []r3.Vec  // the mesh's own, then those where edges are cut
	onEdge      map[[2]int32]int32
	under, over soup
}

// soup is a growing list of facets over the splitter's vertices.
type soup struct {
	facets  [][3]int32
	origins []mesh.Origin
}

func (s *soup) add(o mesh.Origin, a, b, c int32) {
	s.facets = append(s.facets, [3]int32{a, b, c})
	s.origins = append(s.origins, o)
}

// mesh returns the soup with only the vertices that it uses, in their order.
func (s *soup) mesh(vertices []r3.Vec) *mesh.Mesh {
	index := make([]int32, len(vertices))
	for _, f := range s.facets {
		index[f[0]], index[f[1]], index[f[2]] = 1, 1, 1
	}
	out := &mesh.Mesh{Origins: s.origins, Facets: s.facets}
	for i, used := range index {
		if used == 0 {
			continue
		}
		index[i] = int32(len(out.Vertices))
		out.Vertices = append(out.Vertices, vertices[i])
	}
	for i := range out.Facets {
		f := &out.Facets[i]
		f[0], f[1], f[2] = index[f[0]], index[f[1]], index[f[2]]
	}
	return out
}

// classify decides once and for all which side each vertex is on, and returns
// the least and the greatest distance from the plane.
func (s *splitter) classify() (low, high float64) {
	n := len(s.mesh.Vertices)
	s.dist, s.side = make([]float64, n), make([]int8, n)
	first := true
	for _, f := range s.mesh.Facets {
		for _, v := range f {
			d := s.plane.distance(s.mesh.Vertices[v])
			s.dist[v] = d
			switch {
			case d > SnapTol:
				s.side[v] = 1
			case d < -SnapTol:
				s.side[v] = -1
			}
			if first || d < low {
				low = d
			}
			if first || d > high {
				high = d
			}
			first = false
		}
	}
	return low, high
}

// split hands out the facets, cutting those that the plane goes through.
func (s *splitter) split() {
	s.vertices = append(make([]r3.Vec, 0, len(s.mesh.Vertices)+64), s.mesh.Vertices...)
	s.onEdge = make(map[[2]int32]int32)
	for i, f := range s.mesh.Facets {
		o := s.mesh.Origin(i)
		least := min(s.side[f[0]], s.side[f[1]], s.side[f[2]])
		most := max(s.side[f[0]], s.side[f[1]], s.side[f[2]])
		switch {
		case least == 0 && most == 0:
			if a, b, c := s.mesh.Corners(i); r3.Dot(s.plane.Normal, r3.Cross(r3.Sub(b, a), r3.Sub(c, a))) > 0 {
				s.under.add(o, f[0], f[1], f[2])
			} else {
				s.over.add(o, f[0], f[1], f[2])
			}
		case least >= 0:
			s.over.add(o, f[0], f[1], f[2])
		case most <= 0:
			s.under.add(o, f[0], f[1], f[2])
		default:
			s.cutFacet(f, o)
		}
	}
}

// cutFacet cuts a facet with corners on both sides.
func (s *splitter) cutFacet(f [3]int32, o mesh.Origin) {
	// Turn it so that the first corner lies in the plane, if any does, else so
	// that the first corner is alone on its side.
	k := 0
	for j := range 3 {
		a, b, c := s.side[f[j]], s.side[f[(j+1)%3]], s.side[f[(j+2)%3]]
		if a == 0 || a != 0 && b == c && b == -a {
			k = j
		}
	}
	a, b, c := f[k], f[(k+1)%3], f[(k+2)%3]
	near, far := &s.over, &s.under
	if s.side[a] == 0 {
		if s.side[b] < 0 {
			near, far = far, near
		}
		bc := s.vertexOn(b, c)
		near.add(o, a, b, bc)
		far.add(o, a, bc, c)
		return
	}
	if s.side[a] < 0 {
		near, far = far, near
	}
	ab, ac := s.vertexOn(a, b), s.vertexOn(a, c)
	near.add(o, a, ab, ac)
	far.add(o, ab, b, c)
	far.add(o, ab, c, ac)
}

// vertexOn returns the vertex where the edge between a and b is cut; it is
// computed once an edge, in one direction, for both facets and both children.
func (s *splitter) vertexOn(a, b int32) int32 {
	if a > b {
		a, b = b, a
	}
	key := [2]int32{a, b}
	if v, ok := s.onEdge[key]; ok {
		return v
	}
	t := s.dist[a] / (s.dist[a] - s.dist[b])
	pa, pb := s.mesh.Vertices[a], s.mesh.Vertices[b]
	p := r3.Add(pa, r3.Scale(t, r3.Sub(pb, pa)))
	v := int32(len(s.vertices))
	s.vertices = append(s.vertices, p)
	s.onEdge[key] = v
	return v
}

// inPlane reports whether vertex v lies in the plane.
func (s *splitter) inPlane(v int32) bool {
	return int(v) >= len(s.side) || s.side[v] == 0
}

// loops returns the open boundary of the over side in the plane, traced into
// loops that have solid on their left seen against the normal.
func (s *splitter) loops() [][]int32 {
	var edges [][2]int32
	for _, f := range s.over.facets {
		for j := range 3 {
			if a, b := f[j], f[(j+1)%3]; s.inPlane(a) && s.inPlane(b) {
				edges = append(edges, [2]int32{a, b})
			}
		}
	}
	u, v := s.plane.axes()
	flat := func(i int32) (x, y float64) {
		return r3.Dot(u, s.vertices[i]), r3.Dot(v, s.vertices[i])
	}
	return traceLoops(unpaired(edges), flat)
}

// addCap closes both sides with one cap, turned up for under, down for over.
func (s *splitter) addCap(lid [][3]int32) {
	for _, t := range lid {
		s.under.add(mesh.CapAbove, t[0], t[1], t[2])
		s.over.add(mesh.CapBase, t[0], t[2], t[1])
	}
}
