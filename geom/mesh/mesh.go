// Package mesh holds triangle meshes: reading, health, mending, measures,
// placing on the bed, writing.
//
// A mesh is indexed: vertices in mm, facets counter-clockwise seen from
// outside. Operations never change their input.
package mesh

import (
	"gonum.org/v1/gonum/spatial/r3"
)

// Origin tells where a facet comes from.
type Origin uint8

// Where facets come from. A cap closes a zone where a cut went through it.
const (
	Surface  Origin = iota // the part's own surface
	CapBase                // cap that rests on a zone printed earlier
	CapAbove               // cap on which a zone printed later will rest
)

// Mesh is an indexed triangle mesh. Origins is nil (all Surface) or holds one
// entry a facet.
type Mesh struct {
	Vertices []r3.Vec
	Facets   [][3]int32
	Origins  []Origin
}

// Origin returns where facet i comes from.
func (m *Mesh) Origin(i int) Origin {
	if m.Origins == nil {
		return Surface
	}
	return m.Origins[i]
}

// Corners returns the three corners of facet i.
func (m *Mesh) Corners(i int) (a, b, c r3.Vec) {
	f := m.Facets[i]
	return m.Vertices[f[0]], m.Vertices[f[1]], m.Vertices[f[2]]
}
