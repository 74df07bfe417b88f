// Package generate makes the demo parts and the icon: the fittings of a small
// imaginary harbour, Sallowmere Quay. Nothing here was measured anywhere.
//
// Parts are built from loops of vertices, walls between loops and level faces,
// so that every edge has two facets by construction: no booleans, no bodies
// that overlap. Lengths are mm.
package generate

import (
	"fmt"
	"math"

	"conewright/geom/mesh"

	"github.com/oliverbestmann/earcut-go"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// loop is a closed row of vertices at one height, counter-clockwise seen from
// above. A single vertex is a tip.
type loop []int32

func (l loop) reversed() loop {
	out := make(loop, len(l))
	for i, v := range l {
		out[len(l)-1-i] = v
	}
	return out
}

// solid is a part in the making.
type solid struct {
	mesh mesh.Mesh
}

// grid is what coordinates are rounded to, mm: far under what prints, far over
// what sine and cosine differ by between kinds of processors, so that every
// machine makes the same files.
const grid = 1e-4

func onGrid(x float64) float64 { return math.Round(x/grid) * grid }

func (s *solid) loop(z float64, outline []r2.Vec) loop {
	l := make(loop, len(outline))
	for i, p := range outline {
		l[i] = int32(len(s.mesh.Vertices))
		s.mesh.Vertices = append(s.mesh.Vertices, r3.Vec{X: onGrid(p.X), Y: onGrid(p.Y), Z: onGrid(z)})
	}
	return l
}

func (s *solid) facet(a, b, c int32) {
	s.mesh.Facets = append(s.mesh.Facets, [3]int32{a, b, c})
}

// wall joins two loops of the same length, or a loop and a tip. Seen from
// outside the part, low runs from left to right with high above it: give holes
// both loops reversed.
func (s *solid) wall(low, high loop) {
	for i := range max(len(low), len(high)) {
		j := (i + 1) % max(len(low), len(high))
		switch {
		case len(low) == 1:
			s.facet(low[0], high[j], high[i])
		case len(high) == 1:
			s.facet(low[i], low[j], high[0])
		default:
			s.facet(low[i], low[j], high[j])
			s.facet(low[i], high[j], high[i])
		}
	}
}

// walls joins each loop to the next.
func (s *solid) walls(loops ...loop) {
	for i := 1; i < len(loops); i++ {
		s.wall(loops[i-1], loops[i])
	}
}

// top closes what lies between outer and the holes with a level face that
// looks up, bottom with one that looks down.
func (s *solid) top(outer loop, holes ...loop) {
	for _, f := range s.fill(outer, holes) {
		s.facet(f[0], f[1], f[2])
	}
}

func (s *solid) bottom(outer loop, holes ...loop) {
	for _, f := range s.fill(outer, holes) {
		s.facet(f[0], f[2], f[1])
	}
}

// fill triangulates with every vertex of the loops as a corner, which holds as
// long as no three in a row lie in a line: check tells.
func (s *solid) fill(outer loop, holes []loop) [][3]int32 {
	flat := func(l loop) []earcut.Point[float64] {
		var out []earcut.Point[float64]
		for _, v := range l {
			out = append(out, earcut.Point[float64]{X: s.mesh.Vertices[v].X, Y: s.mesh.Vertices[v].Y})
		}
		return out
	}
	all := append(loop{}, outer...)
	var flatHoles [][]earcut.Point[float64]
	for _, h := range holes {
		flatHoles = append(flatHoles, flat(h))
		all = append(all, h...)
	}
	_, indices := earcut.Triangulate(flat(outer), flatHoles)
	var facets [][3]int32
	for i := 0; i+2 < len(indices); i += 3 {
		f := [3]int32{all[indices[i]], all[indices[i+1]], all[indices[i+2]]}
		a, b, c := s.mesh.Vertices[f[0]], s.mesh.Vertices[f[1]], s.mesh.Vertices[f[2]]
		if r3.Cross(r3.Sub(b, a), r3.Sub(c, a)).Z < 0 {
			f[1], f[2] = f[2], f[1]
		}
		facets = append(facets, f)
	}
	return facets
}

// part returns the mesh, or says why it isn't one sound body.
func (s *solid) part() (*mesh.Mesh, error) {
	if h := s.mesh.Check(); !h.Sound() || h.Bodies != 1 {
		return nil, fmt.Errorf("the part isn't one sound body: %v", h)
	}
	return &s.mesh, nil
}
