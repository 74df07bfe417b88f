package mesh

import (
	"iter"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Triangles yields every facet's index and corners.
func (m *Mesh) Triangles() iter.Seq2[int, r3.Triangle] {
	return func(yield func(int, r3.Triangle) bool) {
		for i := range m.Facets {
			a, b, c := m.Corners(i)
			if !yield(i, r3.Triangle{a, b, c}) {
				return
			}
		}
	}
}

// Bounds returns the least box that holds every vertex; for an empty mesh the
// zero box.
func (m *Mesh) Bounds() r3.Box {
	if len(m.Vertices) == 0 {
		return r3.Box{}
	}
	box := r3.Box{Min: m.Vertices[0], Max: m.Vertices[0]}
	for _, v := range m.Vertices {
		box.Min = r3.Vec{X: math.Min(box.Min.X, v.X), Y: math.Min(box.Min.Y, v.Y), Z: math.Min(box.Min.Z, v.Z)}
		box.Max = r3.Vec{X: math.Max(box.Max.X, v.X), Y: math.Max(box.Max.Y, v.Y), Z: math.Max(box.Max.Z, v.Z)}
	}
	return box
}

// size returns the diagonal of the bounding box, mm.
func (m *Mesh) size() float64 {
	box := m.Bounds()
	return r3.Norm(r3.Sub(box.Max, box.Min))
}

// Volume returns the volume that the mesh encloses, mm3: the sum of the signed
// tetrahedra between the facets and a point (the divergence theorem). It means
// something for closed meshes only; cavities count negative.
func (m *Mesh) Volume() float64 {
	if len(m.Facets) == 0 {
		return 0
	}
	o := m.Vertices[m.Facets[0][0]] // near the mesh, so that little cancels
	sum := 0.0
	for i := range m.Facets {
		sum += m.tetrahedron(o, i)
	}
	return sum
}

// tetrahedron returns the signed volume between facet i and o.
func (m *Mesh) tetrahedron(o r3.Vec, i int) float64 {
	a, b, c := m.Corners(i)
	return r3.Dot(r3.Sub(a, o), r3.Cross(r3.Sub(b, o), r3.Sub(c, o))) / 6
}

// Area returns the area of all facets, mm2.
func (m *Mesh) Area() float64 {
	sum := 0.0
	for i := range m.Facets {
		a, b, c := m.Corners(i)
		sum += r3.Norm(r3.Cross(r3.Sub(b, a), r3.Sub(c, a))) / 2
	}
	return sum
}

// Normal returns the unit normal of facet i, pointing outward; for a facet
// without area the zero vector.
func (m *Mesh) Normal(i int) r3.Vec {
	a, b, c := m.Corners(i)
	n := r3.Cross(r3.Sub(b, a), r3.Sub(c, a))
	if l := r3.Norm(n); l > 0 {
		return r3.Scale(1/l, n)
	}
	return r3.Vec{}
}
