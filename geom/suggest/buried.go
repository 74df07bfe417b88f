package suggest

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/mesh"
)

// planIndex finds the facets above and below a place.
type planIndex struct {
	min   r2.Vec
	cell  float64
	nx    int
	ny    int
	start []int32 // facets of cell i are facet[start[i]:start[i+1]]
	facet []int32
}

func newPlanIndex(m *mesh.Mesh) *planIndex {
	box := m.Bounds()
	size := math.Max(box.Max.X-box.Min.X, box.Max.Y-box.Min.Y)
	p := &planIndex{min: r2.Vec{X: box.Min.X, Y: box.Min.Y}, cell: math.Max(size/100, 1e-3)}
	p.nx, p.ny = int((box.Max.X-box.Min.X)/p.cell)+1, int((box.Max.Y-box.Min.Y)/p.cell)+1
	p.start = make([]int32, p.nx*p.ny+1)
	each := func(visit func(cell int, facet int32)) {
		for i := range m.Facets {
			a, b, c := m.Corners(i)
			x0, y0 := p.at(min(a.X, b.X, c.X), min(a.Y, b.Y, c.Y))
			x1, y1 := p.at(max(a.X, b.X, c.X), max(a.Y, b.Y, c.Y))
			for y := y0; y <= y1; y++ {
				for x := x0; x <= x1; x++ {
					visit(y*p.nx+x, int32(i))
				}
			}
		}
	}
	each(func(cell int, _ int32) { p.start[cell+1]++ })
	for i := range len(p.start) - 1 {
		p.start[i+1] += p.start[i]
	}
	p.facet = make([]int32, p.start[len(p.start)-1])
	next := append([]int32(nil), p.start...)
	each(func(cell int, facet int32) {
		p.facet[next[cell]] = facet
		next[cell]++
	})
	return p
}

func (p *planIndex) at(x, y float64) (int, int) {
	i, j := int((x-p.min.X)/p.cell), int((y-p.min.Y)/p.cell)
	return max(0, min(i, p.nx-1)), max(0, min(j, p.ny-1))
}

// buried reports whether what lies just under a place of the surface is solid:
// part of another body (the same test as in geom/overhang).
func (s *survey) buried(at r3.Vec) bool {
	const (
		below = 1e-3 // mm: more than bodies that touch are apart
		aside = 1e-6 // mm: so that the line doesn't run through vertices and edges
	)
	q := r2.Vec{X: at.X + 0.83*aside, Y: at.Y + 0.47*aside}
	turn := func(a, b r3.Vec) float64 { return (b.X-a.X)*(q.Y-a.Y) - (b.Y-a.Y)*(q.X-a.X) }
	x, y := s.plan.at(q.X, q.Y)
	cell, winding := y*s.plan.nx+x, 0
	for _, i := range s.plan.facet[s.plan.start[cell]:s.plan.start[cell+1]] {
		a, b, c := s.mesh.Corners(int(i))
		u, v, w := turn(b, c), turn(c, a), turn(a, b)
		up := u > 0 && v > 0 && w > 0
		if !up && !(u < 0 && v < 0 && w < 0) || (u*a.Z+v*b.Z+w*c.Z)/(u+v+w) >= at.Z-below {
			continue
		}
		if up {
			winding-- // out of solid, going up
		} else {
			winding++
		}
	}
	return winding > 0
}
