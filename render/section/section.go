// Package section cuts meshes by an upright plane y = constant and finds the
// shells of a field in the cut face.
//
// Points of a section are (x, z) of the bed, in an r2.Vec.
package section

import (
	"slices"

	"conewright/geom/mesh"
	"conewright/geom/parallel"
	"conewright/render/contour"

	"gonum.org/v1/gonum/spatial/r2"
)

// Face is the cut face of a mesh: closed loops, filled by the even-odd rule.
// The last point of a loop isn't its first. Loops of an open mesh may end
// where the mesh does; they count as closed by a straight line.
type Face struct {
	Y     float64
	Loops [][]r2.Vec
}

// At returns the face of m at y. Vertices in the plane count as behind it, so
// that every edge either crosses or doesn't.
func At(m *mesh.Mesh, y float64) Face {
	found := make([][]int32, parallel.SpanCount(len(m.Facets), parallel.Stretch))
	parallel.Spans(len(m.Facets), parallel.Stretch, func(block, from, to int) {
		for i, v := range m.Facets[from:to] {
			a, b, c := m.Vertices[v[0]].Y, m.Vertices[v[1]].Y, m.Vertices[v[2]].Y
			if min(a, b, c) < y && max(a, b, c) >= y {
				found[block] = append(found[block], int32(from+i))
			}
		}
	})
	return Through(m, slices.Concat(found...), y)
}

// Through is At where the facets that the plane goes through are known, in
// order: a hierarchy finds them sooner than a look at all.
func Through(m *mesh.Mesh, facets []int32, y float64) Face {
	part := only(m, facets)
	values := make([]float64, len(part.Vertices))
	for i, v := range part.Vertices {
		values[i] = v.Y
	}
	face := Face{Y: y}
	for _, line := range contour.Lines(part, values, []float64{y}) {
		points := line.Points
		if line.Closed() {
			points = points[:len(points)-1]
		}
		if len(points) < 3 {
			continue
		}
		loop := make([]r2.Vec, len(points))
		for i, p := range points {
			loop[i] = r2.Vec{X: p.X, Y: p.Z}
		}
		face.Loops = append(face.Loops, loop)
	}
	return face
}

// only returns some facets of m as a mesh with no other vertices, all in the
// order that they have in m.
func only(m *mesh.Mesh, facets []int32) *mesh.Mesh {
	part := &mesh.Mesh{Facets: make([][3]int32, len(facets))}
	used := make([]int32, 0, 3*len(facets))
	for _, f := range facets {
		v := m.Facets[f]
		used = append(used, v[0], v[1], v[2])
	}
	slices.Sort(used)
	used = slices.Compact(used)
	for _, v := range used {
		part.Vertices = append(part.Vertices, m.Vertices[v])
	}
	for i, f := range facets {
		for k, v := range m.Facets[f] {
			n, _ := slices.BinarySearch(used, v)
			part.Facets[i][k] = int32(n)
		}
	}
	return part
}

// Inside returns a function that tells whether a point of the plane lies in
// the face. It may be used by many goroutines at once.
func (f Face) Inside() func(x, z float64) bool {
	return newBands(f.Loops).inside
}
