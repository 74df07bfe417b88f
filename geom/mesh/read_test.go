package mesh

import (
	"bytes"
	"fmt"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

func textSTL(m *Mesh) []byte {
	var b bytes.Buffer
	fmt.Fprintln(&b, "solid part")
	for i := range m.Facets {
		p, q, r := m.Corners(i)
		fmt.Fprintln(&b, "facet normal 0 0 0\nouter loop")
		for _, v := range []r3.Vec{p, q, r} {
			fmt.Fprintf(&b, "vertex %v %v %v\n", float32(v.X), float32(v.Y), float32(v.Z))
		}
		fmt.Fprintln(&b, "endloop\nendfacet")
	}
	fmt.Fprintln(&b, "endsolid part")
	return b.Bytes()
}

func TestQuick(t *testing.T) {
	b := stlBytes(box(0, 0, 0, 1, 2, 3), "solid")
	m, err := Read(bytes.NewReader(b), int64(len(b)), "a.stl", ReadOptions{})
	if err != nil || len(m.Vertices) != 8 {
		t.Fatal(err, m)
	}
	near(t, "volume", m.Volume(), 6, 1e-12)
	if h := m.Check(); !h.Sound() {
		t.Fatal(h)
	}
	tx := textSTL(m)
	m, err = Read(bytes.NewReader(tx), int64(len(tx)), "a.stl", ReadOptions{})
	if err != nil || len(m.Vertices) != 8 {
		t.Fatal(err, m)
	}
	near(t, "volume", torus(3, 1, 100, 100).Volume(), 19.7*3, 1)
}
