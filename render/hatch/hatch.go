// Package hatch lays a crossed hatch on pieces of surface, in space, so that
// it shows in perspective whatever way it is looked at.
package hatch

import (
	"math"

	"conewright/geom/mesh"
	"conewright/geom/parallel"
	"conewright/render/contour"

	"gonum.org/v1/gonum/spatial/r3"
)

// Patch is a surface in pieces that know their neighbours.
type Patch struct {
	mesh     *mesh.Mesh
	families [3]family
}

// family is what one family of lines is drawn on, made once for all pitches.
type family struct {
	mesh      *mesh.Mesh
	normals   []r3.Vec  // of the facets, unit length
	values    []float64 // of each vertex along the family's direction
	low, high float64   // of the values on facets
}

// New joins triangles where corners agree exactly.
func New(triangles [][3]r3.Vec) *Patch {
	m := join(triangles)
	p := &Patch{mesh: m}
	normals := make([]r3.Vec, len(triangles))
	parallel.Spans(len(triangles), parallel.Stretch, func(_, from, to int) {
		for i := from; i < to; i++ {
			t := &triangles[i]
			n := r3.Cross(r3.Sub(t[1], t[0]), r3.Sub(t[2], t[0]))
			if l := r3.Norm(n); l > 0 {
				n = r3.Scale(1/l, n)
			}
			normals[i] = n
		}
	})
	p.families[0] = family{mesh: m, normals: normals}
	for i := 1; i < len(p.families); i++ {
		p.families[i].mesh = &mesh.Mesh{Vertices: m.Vertices}
	}
	for i, n := range normals {
		k := 1
		if math.Abs(n.Y) > math.Abs(n.X) && math.Abs(n.Y) > math.Abs(n.Z) {
			k = 2 // it faces along y: lines of the other family would lie along them
		}
		f := &p.families[k]
		f.mesh.Facets, f.normals = append(f.mesh.Facets, m.Facets[i]), append(f.normals, n)
	}
	for i := range p.families {
		p.families[i].measure(directions[i])
	}
	return p
}

func (f *family) measure(along r3.Vec) {
	f.values = make([]float64, len(f.mesh.Vertices))
	parallel.Spans(len(f.values), parallel.Stretch, func(_, from, to int) {
		for i := from; i < to; i++ {
			f.values[i] = r3.Dot(along, f.mesh.Vertices[i])
		}
	})
	f.low, f.high = math.Inf(1), math.Inf(-1)
	for _, v := range f.mesh.Facets {
		for _, k := range v {
			f.low, f.high = min(f.low, f.values[k]), max(f.high, f.values[k])
		}
	}
}

// Mesh returns the patch as a mesh, open and without order.
func (p *Patch) Mesh() *mesh.Mesh { return p.mesh }

// Directions of the families of planes whose traces are the hatch: square to each other on level
// surfaces and on walls along x, and with the third instead of the second on
// walls along y; a pitch apart there, nearer on slopes.
var directions = [3]r3.Vec{
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
func (p *Patch) Lines(pitch float64) []Line { return p.lines(pitch, len(p.families)) }

// Parallel returns one direction of the hatch alone.
func (p *Patch) Parallel(pitch float64) []Line { return p.lines(pitch, 1) }

func (p *Patch) lines(pitch float64, count int) []Line {
	var lines []Line
	for i := range p.families[:count] {
		f := &p.families[i]
		var normals []r3.Vec // of all lines in a row
		for _, l := range contour.Lines(f.mesh, f.values, levels(f.low, f.high, pitch)) {
			first := len(normals)
			for _, k := range l.Facets {
				normals = append(normals, f.normals[k])
			}
			lines = append(lines, Line{Points: l.Points, Normals: normals[first:len(normals):len(normals)]})
		}
	}
	return lines
}

func levels(low, high, pitch float64) []float64 {
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
