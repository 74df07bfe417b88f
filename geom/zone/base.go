package zone

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/mesh"
)

const (
	// BedTol is how near to the bed, in mm, a facet belongs to the base
	// (CONTRACT, "Overhang").
	BedTol = 0.01
	// SteepestBase is the angle from level, radians, beyond which a cap carries
	// no beads (CONTRACT, "corrected.gcode").
	SteepestBase = 60 * math.Pi / 180

	// flatTol is the height, mm, up to which a facet on the bed counts as the
	// bed itself: rounding of part files, far below any layer.
	flatTol = 1e-4
	// planeTol is how far, mm, corners may lie off a plane and still be one
	// facet of the base with it: vertices of a cap lie within SnapTol of the cut.
	planeTol = 4 * SnapTol
	// planTol widens facets in plan, mm, so that no gap of rounding is left
	// between neighbours.
	planTol = 1e-6
)

// IsBase reports whether facet i of a zone's mesh belongs to its base: it lies
// on the bed (all corners within BedTol), or is a cap that rests on a zone
// printed earlier.
func IsBase(m *mesh.Mesh, i int) bool {
	if m.Origin(i) == mesh.CapBase {
		return true
	}
	a, b, c := m.Corners(i)
	return a.Z <= BedTol && b.Z <= BedTol && c.Z <= BedTol
}

// Base is what a zone rests on: the facets of its base, seen in plan, and the
// bed elsewhere. It is read only once made, and safe for use by many at once.
type Base struct {
	planes []basePlane
	facets []baseFacet
	edges  []baseEdge // outlines of the planes' areas
	grid   planGrid
	onCell csr // facets a cell, or -1-plane where a plane covers all of it
	inCell csr // edges a cell
	top    float64
}

// basePlane is z = A x + B y + C.
type basePlane struct {
	a, b, c float64
	normal  r3.Vec
}

func (p *basePlane) z(x, y float64) float64 { return p.a*x + p.b*y + p.c }

// baseFacet holds its plane and its corners in plan, counter-clockwise.
type baseFacet struct {
	plane   int32
	corners [3]r2.Vec
}

type baseEdge struct {
	plane int32
	a, b  r2.Vec
}

// NewBase returns the base of a zone, given the zone's mesh in place on the
// bed.
func NewBase(m *mesh.Mesh) *Base {
	b := &Base{}
	picked := pickBase(m)
	if len(picked) == 0 {
		return b
	}
	b.layPlanes(m, picked)
	b.layGrid()
	return b
}

// pickBase returns the facets that carry beads above the bed's own height, the
// largest first: those tell best where a plane lies.
func pickBase(m *mesh.Mesh) []int {
	area := map[int]float64{}
	var picked []int
	for i := range m.Facets {
		if !IsBase(m, i) {
			continue
		}
		a, b, c := m.Corners(i)
		if max(a.Z, b.Z, c.Z) <= flatTol {
			continue // as the bed
		}
		n := r3.Cross(r3.Sub(b, a), r3.Sub(c, a))
		if m.Origin(i) != mesh.CapBase && n.Z >= 0 {
			continue // on the bed, but not facing it
		}
		area[i] = r3.Norm(n)
		picked = append(picked, i)
	}
	slices.SortStableFunc(picked, func(i, j int) int { return cmp.Compare(area[j], area[i]) })
	return picked
}

// recentPlanes bounds how many planes are tried for a facet; caps have one a
// cut, and a bumpy underside on the bed needn't be grouped.
const recentPlanes = 16

// layPlanes groups the facets by the plane that they lie in, drops what is too
// steep, and finds the outline of each group.
func (b *Base) layPlanes(m *mesh.Mesh, picked []int) {
	var steep []bool
	edges := map[int32][][2]int32{}
	for _, i := range picked {
		p0, p1, p2 := m.Corners(i)
		g := b.planeOf(p0, p1, p2, &steep)
		if g < 0 || steep[g] {
			continue
		}
		f := m.Facets[i]
		edges[g] = append(edges[g], [2]int32{f[0], f[1]}, [2]int32{f[1], f[2]}, [2]int32{f[2], f[0]})
		c := [3]r2.Vec{flat(p0), flat(p1), flat(p2)}
		if r2.Cross(r2.Sub(c[1], c[0]), r2.Sub(c[2], c[0])) < 0 {
			c[1], c[2] = c[2], c[1]
		}
		b.facets = append(b.facets, baseFacet{g, c})
		b.top = max(b.top, p0.Z, p1.Z, p2.Z)
	}
	for g := range int32(len(b.planes)) {
		for _, e := range unpaired(edges[g]) {
			b.edges = append(b.edges, baseEdge{g, flat(m.Vertices[e[0]]), flat(m.Vertices[e[1]])})
		}
	}
}

// planeOf returns the plane that the corners lie in, a new one if need be, or
// -1 where three corners in a line don't tell any.
func (b *Base) planeOf(p0, p1, p2 r3.Vec, steep *[]bool) int32 {
	for g := len(b.planes) - 1; g >= max(0, len(b.planes)-recentPlanes); g-- {
		p := &b.planes[g]
		off := func(q r3.Vec) float64 { return math.Abs(r3.Dot(p.normal, q) - p.c) }
		if !(*steep)[g] {
			off = func(q r3.Vec) float64 { return math.Abs(q.Z-p.z(q.X, q.Y)) * p.normal.Z }
		}
		if off(p0) <= planeTol && off(p1) <= planeTol && off(p2) <= planeTol {
			return int32(g)
		}
	}
	n := r3.Cross(r3.Sub(p1, p0), r3.Sub(p2, p0))
	size := r3.Norm(n)
	if size < 1e-12 {
		return -1
	}
	n = r3.Scale(1/size, n)
	if n.Z < 0 {
		n = r3.Scale(-1, n)
	}
	p := basePlane{normal: n, c: r3.Dot(n, p0)}
	isSteep := n.Z < math.Cos(SteepestBase)
	if !isSteep {
		p.a, p.b, p.c = -n.X/n.Z, -n.Y/n.Z, p.c/n.Z
	}
	b.planes = append(b.planes, p)
	*steep = append(*steep, isSteep)
	return int32(len(b.planes) - 1)
}

func flat(p r3.Vec) r2.Vec { return r2.Vec{X: p.X, Y: p.Y} }

// Flat reports that the base is the bed, level at z = 0 everywhere.
func (b *Base) Flat() bool { return len(b.facets) == 0 }

// Top returns the greatest height of the base, mm: 0 where it is the bed.
func (b *Base) Top() float64 { return b.top }

// Height returns the highest point of the base at (x, y) that isn't above
// under, mm, and the base's unit normal there, pointing up. Where there is
// none, or the zone stands flat on the bed, that is the bed: 0, up and ok
// false. Caps steeper than SteepestBase don't count.
func (b *Base) Height(x, y, under float64) (z float64, normal r3.Vec, ok bool) {
	normal = r3.Vec{Z: 1}
	if len(b.facets) == 0 {
		return 0, normal, false
	}
	cell := b.grid.cellAt(x, y)
	if cell < 0 {
		return 0, normal, false
	}
	for _, k := range b.onCell.of(cell) {
		g := -1 - k
		if k >= 0 {
			f := &b.facets[k]
			if g = f.plane; !f.holds(x, y) {
				continue
			}
		}
		p := &b.planes[g]
		if h := p.z(x, y); h >= z && h <= under+planTol {
			z, normal, ok = h, p.normal, true
		}
	}
	return z, normal, ok
}

// holds reports whether (x, y) lies in the facet in plan, or within planTol.
func (f *baseFacet) holds(x, y float64) bool {
	a := f.corners[2]
	for _, c := range f.corners {
		dx, dy := c.X-a.X, c.Y-a.Y
		s := dx*(y-a.Y) - dy*(x-a.X)
		if s < 0 && s*s > planTol*planTol*(dx*dx+dy*dy) {
			return false
		}
		a = c
	}
	// A sliver's long sides alone would hold points far past its ends.
	for k := range 2 {
		lo, hi := f.bounds(k)
		v := x
		if k == 1 {
			v = y
		}
		if v < lo-planTol || v > hi+planTol {
			return false
		}
	}
	return true
}

func (f *baseFacet) bounds(k int) (lo, hi float64) {
	c := &f.corners
	if k == 0 {
		return min(c[0].X, c[1].X, c[2].X), max(c[0].X, c[1].X, c[2].X)
	}
	return min(c[0].Y, c[1].Y, c[2].Y), max(c[0].Y, c[1].Y, c[2].Y)
}
