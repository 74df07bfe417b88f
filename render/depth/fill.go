package depth

import (
	"math"

	"conewright/geom/mesh"
	"conewright/geom/parallel"

	"gonum.org/v1/gonum/spatial/r3"
)

// spot is a vertex in the grid.
type spot struct{ x, y, d float32 }

// Facing tells which facets are laid into a map.
type Facing uint8

// Facets whose winding faces the viewer, those that face away, or both. Fronts
// are enough for a closed mesh.
const (
	Both Facing = iota
	Fronts
	Backs
)

// Fill says what of a mesh goes into a map, and how.
type Fill struct {
	Facing Facing
	// Values, one a vertex and linear on facets, leave out where they are over
	// Most. nil: all of the surface is laid.
	Values []float64
	Most   float64
	// Behind changes depths: it gets the cosine of the angle between the facet's
	// normal and the direction of view. nil: none.
	Behind func(cos float64) float64
}

// Add lays a mesh into the map.
func (m *Map) Add(mesh *mesh.Mesh, o Fill) {
	spots := make([]spot, len(mesh.Vertices))
	parallel.Spans(len(spots), parallel.Stretch, func(_, from, to int) {
		for i := from; i < to; i++ {
			x, y, d := m.place(mesh.Vertices[i])
			spots[i] = spot{float32(x), float32(y), float32(d)}
		}
	})
	m.rows(func(from, to int) {
		f := filler{m: m, o: &o, from: from, to: to}
		for i, v := range mesh.Facets {
			a, b, c := &spots[v[0]], &spots[v[1]], &spots[v[2]]
			if low := min(a.y, b.y, c.y); low >= float32(to) || max(a.y, b.y, c.y) < float32(from) {
				continue
			}
			area := (b.x-a.x)*(c.y-a.y) - (b.y-a.y)*(c.x-a.x)
			if area == 0 || o.Facing == Fronts && area < 0 || o.Facing == Backs && area > 0 || !f.take(mesh, i) {
				continue
			}
			f.fill(a, b, c, 1/area)
		}
	})
}

// take makes ready for a facet; it reports whether any of it is wanted.
func (f *filler) take(mesh *mesh.Mesh, i int) bool {
	if f.o.Values != nil {
		for k, v := range mesh.Facets[i] {
			f.values[k] = float32(f.o.Values[v] - f.o.Most)
		}
		if min(f.values[0], f.values[1], f.values[2]) > 0 {
			return false
		}
		f.limited = max(f.values[0], f.values[1], f.values[2]) > 0
	}
	if f.o.Behind != nil {
		f.shift = float32(f.o.Behind(f.m.cosine(mesh, i)))
	}
	return true
}

func (m *Map) cosine(mesh *mesh.Mesh, i int) float64 {
	a, b, c := mesh.Corners(i)
	n := r3.Cross(r3.Sub(b, a), r3.Sub(c, a))
	if l := r3.Norm(n); l > 0 {
		return r3.Dot(n, m.view.Toward) / l
	}
	return 0
}

// filler fills the rows from..to with one facet after the other.
type filler struct {
	m        *Map
	o        *Fill
	from, to int
	shift    float32
	limited  bool
	values   [3]float32
}

// fill lays a facet into the cells whose middles it covers; inverse is one
// over twice its area in the grid.
func (f *filler) fill(a, b, c *spot, inverse float32) {
	x0 := max(ceil(min(a.x, b.x, c.x)-0.5), 0)
	x1 := min(floor(max(a.x, b.x, c.x)-0.5), f.m.width-1)
	y0 := max(ceil(min(a.y, b.y, c.y)-0.5), f.from)
	y1 := min(floor(max(a.y, b.y, c.y)-0.5), f.to-1)
	for j := y0; j <= y1; j++ {
		py := float32(j) + 0.5
		row := f.m.near[j*f.m.width : (j+1)*f.m.width]
		for i := x0; i <= x1; i++ {
			px := float32(i) + 0.5
			u := ((b.x-px)*(c.y-py) - (b.y-py)*(c.x-px)) * inverse
			v := ((c.x-px)*(a.y-py) - (c.y-py)*(a.x-px)) * inverse
			w := 1 - u - v
			if u < -slack || v < -slack || w < -slack {
				continue
			}
			if f.limited && u*f.values[0]+v*f.values[1]+w*f.values[2] > 0 {
				continue
			}
			if d := u*a.d + v*b.d + w*c.d + f.shift; d > row[i] {
				row[i] = d
			}
		}
	}
}

// slack widens facets a little, so that no cell on a seam is left out.
const slack = 1e-4

func floor(v float32) int { return int(math.Floor(float64(v))) }

func ceil(v float32) int { return int(math.Ceil(float64(v))) }
