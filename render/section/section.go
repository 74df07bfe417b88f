// Package section cuts meshes by an upright plane y = constant and finds the
// shells of a field in the cut face.
//
// Points of a section are (x, z) of the bed, in an r2.Vec.
package section

import (
	"conewright/geom/mesh"
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
	values := make([]float64, len(m.Vertices))
	for i, v := range m.Vertices {
		values[i] = v.Y
	}
	face := Face{Y: y}
	for _, line := range contour.Lines(m, values, []float64{y}) {
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

// Inside returns a function that tells whether a point of the plane lies in
// the face. It may be used by many goroutines at once.
func (f Face) Inside() func(x, z float64) bool {
	return newBands(f.Loops).inside
}
