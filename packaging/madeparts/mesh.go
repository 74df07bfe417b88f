// Package madeparts makes solids for checks from outside: bodies of revolution,
// extrusions and smooth blobs, as triangles. It imports nothing of the program.
package madeparts

import (
	"bufio"
	"encoding/binary"
	"io"
	"math"
	"os"

	"gonum.org/v1/gonum/spatial/r3"
)

// Mesh is a closed surface of triangles, counter-clockwise seen from outside.
type Mesh [][3]r3.Vec

// Volume is the volume inside, in mm3.
func (m Mesh) Volume() float64 {
	v := 0.0
	for _, t := range m {
		v += r3.Dot(t[0], r3.Cross(t[1], t[2])) / 6
	}
	return v
}

// WriteSTL writes the file.
func (m Mesh) WriteSTL(file string) error {
	f, err := os.Create(file)
	if err != nil {
		return err
	}
	if err := m.Write(f); err != nil {
		f.Close()
		return err
	}
	return f.Close()
}

// Write writes binary STL: 80 bytes of head, a count, 50 bytes a facet (the
// STL format as commonly described).
func (m Mesh) Write(to io.Writer) error {
	w := bufio.NewWriter(to)
	w.Write(make([]byte, 80)) // a bufio.Writer keeps its first error for Flush
	binary.Write(w, binary.LittleEndian, uint32(len(m)))
	for _, t := range m {
		n := r3.Unit(r3.Cross(r3.Sub(t[1], t[0]), r3.Sub(t[2], t[0])))
		if math.IsNaN(n.X) {
			n = r3.Vec{}
		}
		for _, v := range []r3.Vec{n, t[0], t[1], t[2]} {
			binary.Write(w, binary.LittleEndian, [3]float32{float32(v.X), float32(v.Y), float32(v.Z)})
		}
		w.Write([]byte{0, 0})
	}
	return w.Flush()
}
