// Package hatch lays a crossed hatch on pieces of surface, in space, so that
// it shows in perspective whatever way it is looked at.
package hatch

import (
	"math"

	"conewright/geom/mesh"
	"conewright/render/contour"

	"gonum.org/v1/gonum/spatial/r3"
)

// Patch is a surface in pieces that know their neighbours.
type Patch struct {
	mesh    *mesh.Mesh
	normals []r3.Vec // of the facets, unit length
	turn    []bool   // facets that face along y: one of the two families of lines would lie along them
}

// New joins triangles where corners agree exactly.
func New(triangles [][3]r3.Vec) *Patch {
	m := &mesh.Mesh{Facets: make([][3]int32, 0, len(triangles))}
	p := &Patch{mesh: m}
	known := make(map[r3.Vec]int32, len(triangles))
	for _, t := range triangles {
		var f [3]int32
		for k, v := range t {
			i, ok := known[v]
			if !ok {
				i = int32(len(m.Vertices))
				known[v] = i
				m.Vertices = append(m.Vertices, v)
			}
			f[k] = i
		}
		n := r3.Cross(r3.Sub(t[1], t[0]), r3.Sub(t[2], t[0]))
		if l := r3.Norm(n); l > 0 {
			n = r3.Scale(1/l, n)
		}
		m.Facets = append(m.Facets, f)
		p.normals = append(p.normals, n)
		p.turn = append(p.turn, math.Abs(n.Y) > math.Abs(n.X) && math.Abs(n.Y) > math.Abs(n.Z))
	}
	return p
}

// Mesh returns the patch as a mesh, open and without order.
func (p *Patch) Mesh() *mesh.Mesh { return p.mesh }

// Families of planes whose traces are the hatch: square to each other on level
// surfaces and on walls along x, and with the third instead of the second on
// walls along y; a pitch apart there, nearer on slopes.
var families = [3]r3.Vec{
	{X: math.Sqrt2 / 2, Y: math.Sqrt2 / 2, Z: math.Sqrt2 / 2},
	{X: math.Sqrt2 / 2, Y: -math.Sqrt2 / 2, Z: math.Sqrt2 / 2},
	{X: math.Sqrt2 / 2, Y: math.Sqrt2 / 2, Z: -math.Sqrt2 / 2},
}

// mostLines bounds the lines of a family, whatever pitch is asked for.
const mostLines = 2000

// Line is a stroke of the hatch. Normals holds those of the facets in which its
// segments lie.
type Line struct {
	Points, Normals []r3.Vec
}

// Lines returns the crossed hatch at a pitch, mm.
func (p *Patch) Lines(pitch float64) []Line { return p.lines(pitch, len(families)) }

// Parallel returns one direction of the hatch alone.
func (p *Patch) Parallel(pitch float64) []Line { return p.lines(pitch, 1) }

func (p *Patch) lines(pitch float64, count int) []Line {
	var lines []Line
	for i, d := range families[:count] {
		m, normals := &mesh.Mesh{Vertices: p.mesh.Vertices}, []r3.Vec(nil)
		for k, f := range p.mesh.Facets {
			if i == 0 || p.turn[k] == (i == 2) {
				m.Facets = append(m.Facets, f)
				normals = append(normals, p.normals[k])
			}
		}
		values := make([]float64, len(m.Vertices))
		for k, v := range m.Vertices {
			values[k] = r3.Dot(d, v)
		}
		for _, l := range contour.Lines(m, values, levels(m, values, pitch)) {
			line := Line{Points: l.Points, Normals: make([]r3.Vec, len(l.Facets))}
			for k, f := range l.Facets {
				line.Normals[k] = normals[f]
			}
			lines = append(lines, line)
		}
	}
	return lines
}

func levels(m *mesh.Mesh, values []float64, pitch float64) []float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for _, f := range m.Facets {
		for _, v := range f {
			low, high = math.Min(low, values[v]), math.Max(high, values[v])
		}
	}
	if !(low < high) || !(pitch > 0) {
		return nil
	}
	pitch = math.Max(pitch, (high-low)/mostLines)
	var levels []float64
	for i := math.Ceil(low / pitch); i*pitch <= high; i++ {
		levels = append(levels, i*pitch)
	}
	return levels
}

// Trace returns where the plane y = constant meets the patch.
func (p *Patch) Trace(y float64) [][]r3.Vec {
	values := make([]float64, len(p.mesh.Vertices))
	for k, v := range p.mesh.Vertices {
		values[k] = v.Y
	}
	var lines [][]r3.Vec
	for _, l := range contour.Lines(p.mesh, values, []float64{y}) {
		lines = append(lines, l.Points)
	}
	return lines
}
