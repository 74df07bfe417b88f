package register

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// footprint answers where a place stands to a section of the mesh.
type footprint struct {
	pieces []piece
	grid   grid
	solid  []bool  // cells whose middle is in the solid
	away   []uint8 // how many cells off the nearest cell with a piece is, at most mostAway
	cross  []crossing
}

type crossing struct {
	x    float64
	sign int
}

// reach is how far from the outline depths are exact, mm: it covers half of a
// wide bead and the greatest deviation that is allowed.
const reach = 0.8

func (f *footprint) build() {
	f.grid.build(len(f.pieces), func(i int) (r2.Vec, r2.Vec) { return f.pieces[i].a, f.pieces[i].b }, reach)
	n := f.grid.nx * f.grid.ny
	if cap(f.solid) < n {
		f.solid = make([]bool, n)
	}
	f.solid = f.solid[:n]
	clear(f.solid)
	for y := range f.grid.ny {
		f.fillRow(y)
	}
	f.away = f.grid.distances(f.away)
}

// within returns a depth, mm, that the whole segment is sure to have in the
// solid; 0 where that can't be told quickly.
func (f *footprint) within(a, b r2.Vec) float64 {
	c := f.grid.at(r2.Vec{X: (a.X + b.X) / 2, Y: (a.Y + b.Y) / 2})
	if c < 0 || !f.solid[c] || f.away[c] == 0 {
		return 0
	}
	// A cell without a piece has none within reach of it; one that is n cells off
	// the next with a piece has none within n - 1 cells more.
	sure := reach + float64(f.away[c]-1)*f.grid.side
	return max(0, sure-math.Sqrt(r2.Norm2(r2.Sub(b, a)))/2)
}

// fillRow marks the cells of a row by the winding number at their middles.
func (f *footprint) fillRow(y int) {
	g := &f.grid
	middle := g.min.Y + (float64(y)+0.5)*g.side
	f.cross = f.cross[:0]
	seen := int32(-1)
	for x := range g.nx {
		for _, i := range g.items(y*g.nx + x) {
			if p := &f.pieces[i]; (p.a.Y >= middle) != (p.b.Y >= middle) {
				t := (middle - p.a.Y) / (p.b.Y - p.a.Y)
				cx := p.a.X + t*(p.b.X-p.a.X)
				if g.column(cx) != x { // it is in several cells: count it once
					continue
				}
				sign := 1
				if p.out.X > 0 {
					sign = -1
				}
				f.cross = append(f.cross, crossing{cx, sign})
				seen = i
			}
		}
	}
	if seen < 0 {
		return
	}
	slices.SortFunc(f.cross, func(a, b crossing) int {
		if a.x < b.x {
			return -1
		} else if a.x > b.x {
			return 1
		}
		return a.sign - b.sign
	})
	wind, k := 0, 0
	for x := range g.nx {
		for edge := g.min.X + (float64(x)+0.5)*g.side; k < len(f.cross) && f.cross[k].x <= edge; k++ {
			wind += f.cross[k].sign
		}
		f.solid[y*g.nx+x] = wind > 0
	}
}

// depth returns how deep p lies in the solid, mm, negative outside, and the
// slope of the surface next to it. Further than reach from the outline it is
// +Inf or -Inf.
func (f *footprint) depth(p r2.Vec) (depth, slope float64) {
	c := f.grid.at(p)
	if c < 0 {
		return math.Inf(-1), 0
	}
	best, side := reach*reach, 0.0
	near := -1
	inner, innerSide := math.Inf(1), 0.0 // to the nearest side of a crack
	for _, i := range f.grid.items(c) {
		q := &f.pieces[i]
		d := r2.Sub(p, foot(p, q.a, q.b))
		dist := r2.Norm2(d)
		s := r2.Dot(d, q.out)
		if q.inner {
			if dist < inner {
				inner, innerSide = dist, s
			}
			continue
		}
		if dist > best+1e-12 {
			continue
		}
		// At a corner both its pieces are as near: the one that p lies more
		// squarely off tells the side.
		if dist < best-1e-12 || math.Abs(s) > math.Abs(side) {
			side, near = s, int(i)
		}
		best = math.Min(best, dist)
	}
	if near < 0 {
		if inner < best || f.inside(c, p) {
			return math.Inf(1), 0
		}
		return math.Inf(-1), 0
	}
	d := math.Sqrt(best)
	if inner < best+1e-12 && math.Abs(innerSide) > math.Abs(side) {
		side = innerSide
	}
	if side > 0 && inner >= best-1e-12 { // about a crack all is solid
		d = -d
	}
	return d, f.pieces[near].slope
}

// inside tells the side of a place in cell c that no piece is near to: that of
// the cell's middle, unless an odd number of pieces lies between.
func (f *footprint) inside(c int, p r2.Vec) bool {
	g := &f.grid
	in := f.solid[c]
	middle := r2.Vec{
		X: g.min.X + (float64(c%g.nx)+0.5)*g.side,
		Y: g.min.Y + (float64(c/g.nx)+0.5)*g.side,
	}
	for _, i := range g.items(c) {
		if crosses(p, middle, f.pieces[i].a, f.pieces[i].b) {
			in = !in
		}
	}
	return in
}

// crosses reports whether the segments p q and a b cross; an end on the line
// belongs to one side, so that a chain of segments is crossed once.
func crosses(p, q, a, b r2.Vec) bool {
	pq, ab := r2.Sub(q, p), r2.Sub(b, a)
	s := r2.Cross(pq, r2.Sub(a, p)) >= 0
	t := r2.Cross(pq, r2.Sub(b, p)) >= 0
	u := r2.Cross(ab, r2.Sub(p, a)) >= 0
	v := r2.Cross(ab, r2.Sub(q, a)) >= 0
	return s != t && u != v
}
