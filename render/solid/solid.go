// Package solid answers what hides what: a closed mesh on a bounding volume
// hierarchy of its own, as an ln.Shape, with its edges sorted into creases,
// borders and what may become a silhouette.
//
// ln's own tree takes seconds for the meshes that makers print; this one is
// built by binned splits in tens of milliseconds.
package solid

import (
	"math"

	"conewright/geom/mesh"
	"conewright/geom/parallel"

	"github.com/fogleman/ln/ln"
	"gonum.org/v1/gonum/spatial/r3"
)

// Solid is a mesh prepared for drawing. It is safe for use by many goroutines
// at once; nothing changes it after New.
type Solid struct {
	Mesh     *mesh.Mesh
	Min, Max r3.Vec
	Normals  []r3.Vec // of the facets, unit length; zero where a facet has no area
	Edges    []Edge
	Radius   float64 // of the sphere about the middle of Min and Max that holds all
	Closed   bool    // every edge lies between two facets that agree

	flat []r3.Vec // by which creases are found; nil once they are
	bent bool     // facets only come near the surface

	nodes     []node
	triangles []triangle // in the order of the leaves
	facets    []int32    // the facet of each triangle
}

var _ ln.Shape = (*Solid)(nil)

// New prepares m, which must not change afterwards. Facets with corners that
// aren't finite are left out.
func New(m *mesh.Mesh) *Solid { return Bent(m, nil, nil) }

// Bent is New for a mesh that was bent and whose facets only come near the bent
// surface: flat holds their normals before, by which edges are creases or not, and
// bent those of the bent surface in their middles, by which they face the viewer
// or not. Otherwise what is left between facets and surface would show as edges.
// nil: the facets' own.
func Bent(m *mesh.Mesh, flat, bent []r3.Vec) *Solid {
	s := &Solid{Mesh: m, flat: flat, bent: bent != nil}
	s.measure()
	if flat == nil {
		s.flat = s.Normals
	}
	if bent != nil {
		s.Normals = bent
	}
	parallel.Do(s.build, s.findEdges)
	s.flat = nil
	return s
}

func (s *Solid) measure() {
	inf := math.Inf(1)
	lo, hi := r3.Vec{X: inf, Y: inf, Z: inf}, r3.Vec{X: -inf, Y: -inf, Z: -inf}
	s.Normals = make([]r3.Vec, len(s.Mesh.Facets))
	for i := range s.Mesh.Facets {
		a, b, c := s.Mesh.Corners(i)
		n := r3.Cross(r3.Sub(b, a), r3.Sub(c, a))
		if l := math.Sqrt(r3.Norm2(n)); l > 0 && !math.IsInf(l, 0) {
			s.Normals[i] = r3.Scale(1/l, n)
		}
		if finite(a) && finite(b) && finite(c) {
			lo = least(lo, least(a, least(b, c)))
			hi = greatest(hi, greatest(a, greatest(b, c)))
		}
	}
	if lo.X > hi.X {
		lo, hi = r3.Vec{}, r3.Vec{}
	}
	s.Min, s.Max = lo, hi
	middle, most := r3.Scale(0.5, r3.Add(lo, hi)), 0.0
	for _, v := range s.Mesh.Vertices {
		if d := r3.Norm2(r3.Sub(v, middle)); d > most && !math.IsInf(d, 0) {
			most = d
		}
	}
	s.Radius = math.Sqrt(most)
}

// Size returns the length of the bounding box's diagonal, mm.
func (s *Solid) Size() float64 { return r3.Norm(r3.Sub(s.Max, s.Min)) }

// Compile does nothing: a Solid is ready when made. It makes an ln.Shape.
func (s *Solid) Compile() {}

// BoundingBox returns the box round the mesh.
func (s *Solid) BoundingBox() ln.Box {
	return ln.Box{Min: ln.Vector(s.Min), Max: ln.Vector(s.Max)}
}

// Contains reports whether v lies inside the mesh: whether the first facet met
// from it is seen from behind. The second argument, a tolerance, is not used.
func (s *Solid) Contains(v ln.Vector, _ float64) bool {
	up := r3.Vec{X: 0.0123, Y: 0.0271, Z: 1} // aslant, to meet few edges
	facet, _, ok := s.Nearest(r3.Vec(v), r3.Unit(up))
	return ok && r3.Dot(s.Normals[facet], up) > 0
}

// Intersect returns the first meeting of the ray with the mesh.
func (s *Solid) Intersect(r ln.Ray) ln.Hit {
	if _, t, ok := s.Nearest(r3.Vec(r.Origin), r3.Vec(r.Direction)); ok {
		return ln.Hit{Shape: s, T: t}
	}
	return ln.NoHit
}

// Paths returns creases and borders.
func (s *Solid) Paths() ln.Paths {
	var paths ln.Paths
	for _, e := range s.Edges {
		if e.Kind != Smooth {
			a, b := s.Mesh.Vertices[e.A], s.Mesh.Vertices[e.B]
			paths = append(paths, ln.Path{ln.Vector(a), ln.Vector(b)})
		}
	}
	return paths
}

func finite(v r3.Vec) bool {
	return !math.IsNaN(v.X-v.X) && !math.IsNaN(v.Y-v.Y) && !math.IsNaN(v.Z-v.Z)
}

func least(a, b r3.Vec) r3.Vec {
	return r3.Vec{X: math.Min(a.X, b.X), Y: math.Min(a.Y, b.Y), Z: math.Min(a.Z, b.Z)}
}

func greatest(a, b r3.Vec) r3.Vec {
	return r3.Vec{X: math.Max(a.X, b.X), Y: math.Max(a.Y, b.Y), Z: math.Max(a.Z, b.Z)}
}
