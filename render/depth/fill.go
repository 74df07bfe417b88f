package depth

import (
	"math"

	"conewright/geom/mesh"
	"conewright/render/internal/spread"

	"gonum.org/v1/gonum/spatial/r3"
)

// spot is a vertex in the grid.
type spot struct{ x, y, d float32 }

// Add lays the facets of a mesh into the map. With fronts only those whose
// winding faces the viewer are: enough for a closed mesh.
func (m *Map) Add(mesh *mesh.Mesh, fronts bool) {
	m.AddWhere(mesh, fronts, nil, nil)
}

// AddWhere is Add for that part of the surface on which a value, given at the
// vertices and linear on facets, isn't over most; values nil: all of it. Depths
// are changed by the return of back, where that isn't nil, which gets the
// cosine of the angle between the facet's normal and the direction of view.
func (m *Map) AddWhere(mesh *mesh.Mesh, fronts bool, limit *Limit, back func(cos float64) float64) {
	spots := make([]spot, len(mesh.Vertices))
	spread.Over(len(spots), func(from, to int) {
		for i := from; i < to; i++ {
			x, y, d := m.place(mesh.Vertices[i])
			spots[i] = spot{float32(x), float32(y), float32(d)}
		}
	})
	m.rows(func(from, to int) {
		f := filler{m: m, from: from, to: to}
		for i, v := range mesh.Facets {
			a, b, c := &spots[v[0]], &spots[v[1]], &spots[v[2]]
			if low := min(a.y, b.y, c.y); low >= float32(to) || max(a.y, b.y, c.y) < float32(from) {
				continue
			}
			area := (b.x-a.x)*(c.y-a.y) - (b.y-a.y)*(c.x-a.x)
			if !(area > 0) && (fronts || !(area < 0)) {
				continue
			}
			f.shift = 0
			if back != nil {
				f.shift = float32(back(m.cosine(mesh, i)))
			}
			if limit != nil {
				f.values = [3]float32{float32(limit.Values[v[0]] - limit.Most), float32(limit.Values[v[1]] - limit.Most), float32(limit.Values[v[2]] - limit.Most)}
				if min(f.values[0], f.values[1], f.values[2]) > 0 {
					continue
				}
				f.limited = max(f.values[0], f.values[1], f.values[2]) > 0
			}
			f.fill(a, b, c, 1/area)
		}
	})
}

// Limit is a value at the vertices of a mesh and the most up to which the
// surface is there.
type Limit struct {
	Values []float64
	Most   float64
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
