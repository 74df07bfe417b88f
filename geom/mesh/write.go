package mesh

import (
	"bufio"
	"io"

	"github.com/hschendel/stl"
	"gonum.org/v1/gonum/spatial/r3"
)

// stlTitle opens the 80 bytes before the facets. It must not begin with
// "solid", by which some readers tell text from binary.
const stlTitle = "binary STL, millimetres, facets counter-clockwise seen from outside"

// Rounded returns the mesh as a binary STL file can hold it: coordinates
// rounded to float32, vertices that this brings to one place welded, facets
// that it takes away dropped together with those that then lie doubled on each
// other. A closed mesh stays closed: an edge whose ends become one vanishes
// from both of its facets alike.
func (m *Mesh) Rounded() *Mesh {
	out := m.Moved(func(v r3.Vec) r3.Vec {
		return r3.Vec{X: float64(float32(v.X)), Y: float64(float32(v.Y)), Z: float64(float32(v.Z))}
	}).Weld(0)
	if len(out.Vertices) < len(m.Vertices) {
		out, _ = out.dropDegenerate()
		out, _ = out.dropDoubled()
	}
	return out
}

// WriteSTL writes m, Rounded, as binary STL: a header without date, computed
// unit normals.
func WriteSTL(w io.Writer, m *Mesh) error {
	m = m.Rounded()
	solid := stl.Solid{BinaryHeader: []byte(stlTitle), Triangles: make([]stl.Triangle, len(m.Facets))}
	for i := range m.Facets {
		a, b, c := m.Corners(i)
		solid.Triangles[i] = stl.Triangle{
			Normal:   stlVec32(m.Normal(i)),
			Vertices: [3]stl.Vec3{stlVec32(a), stlVec32(b), stlVec32(c)},
		}
	}
	buf := bufio.NewWriterSize(w, 1<<16)
	if err := solid.WriteAll(buf); err != nil {
		return err
	}
	return buf.Flush()
}

func stlVec32(v r3.Vec) stl.Vec3 {
	return stl.Vec3{float32(v.X), float32(v.Y), float32(v.Z)}
}
