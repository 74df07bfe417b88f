package register

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/mesh"
)

// piece is the section of one facet: where a level plane cuts it. Contours
// aren't linked, since the fit needs each piece's own normal and slope, and no
// order.
type piece struct {
	a, b r2.Vec
	out  r2.Vec // unit normal in the plane, out of the solid
	// slope is nz / |nxy| of the facet's normal: raising the plane by d moves
	// the outline out by -slope x d.
	slope float64
	// inner marks the sides of a crack between bodies that touch: no outline.
	inner bool
	body  int32
}

// cutter cuts one mesh at many heights.
type cutter struct {
	m        *mesh.Mesh
	min, max r3.Vec
	bins     [][]int32 // facets by the slabs of height that they reach into
	perZ     float64   // bins per mm
	bodies   bodies    // if they may lap over each other
}

// cutBins is how many slabs a mesh's height is divided into: many enough that
// one height looks at few facets, few enough that a facet is in two or three.
const cutBins = 64

func newCutter(m *mesh.Mesh) *cutter {
	inf := math.Inf(1)
	c := &cutter{m: m, bodies: bodiesOf(m), min: r3.Vec{X: inf, Y: inf, Z: inf}, max: r3.Vec{X: -inf, Y: -inf, Z: -inf}}
	for i := range m.Facets {
		for _, k := range m.Facets[i] {
			v := m.Vertices[k]
			c.min = r3.Vec{X: math.Min(c.min.X, v.X), Y: math.Min(c.min.Y, v.Y), Z: math.Min(c.min.Z, v.Z)}
			c.max = r3.Vec{X: math.Max(c.max.X, v.X), Y: math.Max(c.max.Y, v.Y), Z: math.Max(c.max.Z, v.Z)}
		}
	}
	if !(c.max.Z > c.min.Z) {
		return c
	}
	c.perZ = cutBins / (c.max.Z - c.min.Z)
	c.bins = make([][]int32, cutBins)
	for i := range m.Facets {
		p, q, r := m.Corners(i)
		lo, hi := c.bin(min(p.Z, q.Z, r.Z)), c.bin(max(p.Z, q.Z, r.Z))
		for b := lo; b <= hi; b++ {
			c.bins[b] = append(c.bins[b], int32(i))
		}
	}
	return c
}

func (c *cutter) bin(z float64) int {
	return min(max(int((z-c.min.Z)*c.perZ), 0), cutBins-1)
}

// cut appends the pieces of the solid's section at height z: those of the mesh
// without what lies inside another body.
func (c *cutter) cut(dst []piece, z float64) []piece {
	n := len(dst)
	dst = c.cutFacets(dst, z)
	if c.bodies.of == nil {
		return dst
	}
	return append(dst[:n], c.bodies.outermost(dst[n:], z)...)
}

// cutFacets appends the pieces of the mesh's section at height z. A corner at z
// itself counts as above, so that every contour closes.
func (c *cutter) cutFacets(dst []piece, z float64) []piece {
	if c.bins == nil || z < c.min.Z || z > c.max.Z {
		return dst
	}
	for _, i := range c.bins[c.bin(z)] {
		v := [3]r3.Vec{}
		v[0], v[1], v[2] = c.m.Corners(int(i))
		var up [3]bool
		n := 0
		for k := range v {
			if up[k] = v[k].Z >= z; up[k] {
				n++
			}
		}
		if n == 0 || n == 3 {
			continue
		}
		k := slices.Index(up[:], n == 1) // the corner that stands alone
		a := meet(v[k], v[(k+1)%3], z)
		b := meet(v[k], v[(k+2)%3], z)
		normal := r3.Cross(r3.Sub(v[1], v[0]), r3.Sub(v[2], v[0]))
		flat := math.Hypot(normal.X, normal.Y)
		if flat == 0 || a == b {
			continue
		}
		q := piece{a: a, b: b, out: r2.Vec{X: normal.X / flat, Y: normal.Y / flat}, slope: normal.Z / flat}
		if c.bodies.of != nil {
			q.body = c.bodies.of[i]
		}
		dst = append(dst, q)
	}
	return dst
}

// meet is where the edge p q passes height z. It is worked out from the lower
// end, so that both facets of an edge agree.
func meet(p, q r3.Vec, z float64) r2.Vec {
	if q.Z < p.Z {
		p, q = q, p
	}
	t := (z - p.Z) / (q.Z - p.Z)
	return r2.Vec{X: p.X + t*(q.X-p.X), Y: p.Y + t*(q.Y-p.Y)}
}

// box is a rectangle in plan.
type box struct{ min, max r2.Vec }

func emptyBox() box {
	inf := math.Inf(1)
	return box{r2.Vec{X: inf, Y: inf}, r2.Vec{X: -inf, Y: -inf}}
}

func (b *box) add(p r2.Vec) {
	b.min.X, b.min.Y = math.Min(b.min.X, p.X), math.Min(b.min.Y, p.Y)
	b.max.X, b.max.Y = math.Max(b.max.X, p.X), math.Max(b.max.Y, p.Y)
}

func (b *box) empty() bool { return !(b.max.X >= b.min.X) }

// meets reports whether the boxes have a place in common.
func (b *box) meets(o box) bool {
	return b.max.X >= o.min.X && b.min.X <= o.max.X && b.max.Y >= o.min.Y && b.min.Y <= o.max.Y
}

// everywhere is the box that meets all.
var everywhere = box{r2.Vec{X: math.Inf(-1), Y: math.Inf(-1)}, r2.Vec{X: math.Inf(1), Y: math.Inf(1)}}

func (b *box) size() r2.Vec { return r2.Sub(b.max, b.min) }

func boxOf(pieces []piece) box {
	b := emptyBox()
	for i := range pieces {
		b.add(pieces[i].a)
		b.add(pieces[i].b)
	}
	return b
}
