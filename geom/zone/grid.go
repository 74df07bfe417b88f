package zone

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// planGrid divides a rectangle in plan into square cells.
type planGrid struct {
	min    r2.Vec
	cell   float64
	nx, ny int
}

// maxCells bounds the grid's cells along a side.
const maxCells = 256

func newPlanGrid(box r2.Box, cells int) planGrid {
	size := math.Max(box.Max.X-box.Min.X, box.Max.Y-box.Min.Y) + 4*planTol
	cells = min(max(cells, 8), maxCells)
	g := planGrid{min: r2.Vec{X: box.Min.X - 2*planTol, Y: box.Min.Y - 2*planTol}, cell: size / float64(cells)}
	g.nx = int((box.Max.X-g.min.X+2*planTol)/g.cell) + 1
	g.ny = int((box.Max.Y-g.min.Y+2*planTol)/g.cell) + 1
	return g
}

// cellAt returns the cell that holds (x, y), or -1 outside of the grid.
func (g *planGrid) cellAt(x, y float64) int {
	fx, fy := (x-g.min.X)/g.cell, (y-g.min.Y)/g.cell
	if !(fx >= 0 && fy >= 0 && fx < float64(g.nx) && fy < float64(g.ny)) {
		return -1
	}
	return int(fy)*g.nx + int(fx)
}

// cover calls visit for each cell that the convex polygon touches, widened by
// planTol; a polygon may be a segment. It goes row by row: the reach in x of
// what of the polygon lies in the row.
func (g *planGrid) cover(poly []r2.Vec, visit func(cell int)) {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range poly {
		lo, hi = math.Min(lo, p.Y), math.Max(hi, p.Y)
	}
	const wide = 2 * planTol
	first, ok1 := clampCell((lo-wide-g.min.Y)/g.cell, g.ny)
	last, ok2 := clampCell((hi+wide-g.min.Y)/g.cell, g.ny)
	if !ok1 || !ok2 || hi+wide < g.min.Y || lo-wide > g.min.Y+g.cell*float64(g.ny) {
		return
	}
	for row := first; row <= last; row++ {
		y0 := g.min.Y + float64(row)*g.cell - wide
		x0, x1 := reach(poly, y0, y0+g.cell+2*wide)
		if x0 > x1 || x1+wide < g.min.X || x0-wide > g.min.X+g.cell*float64(g.nx) {
			continue
		}
		from, _ := clampCell((x0-wide-g.min.X)/g.cell, g.nx)
		to, _ := clampCell((x1+wide-g.min.X)/g.cell, g.nx)
		for col := from; col <= to; col++ {
			visit(row*g.nx + col)
		}
	}
}

func clampCell(f float64, n int) (int, bool) {
	if math.IsNaN(f) {
		return 0, false
	}
	return int(math.Min(math.Max(f, 0), float64(n-1))), true
}

// reach returns the least and greatest x of the polygon's part between y0 and
// y1; x0 > x1 where there is none.
func reach(poly []r2.Vec, y0, y1 float64) (x0, x1 float64) {
	x0, x1 = math.Inf(1), math.Inf(-1)
	a := poly[len(poly)-1]
	for _, b := range poly {
		if b.Y >= y0 && b.Y <= y1 {
			x0, x1 = math.Min(x0, b.X), math.Max(x1, b.X)
		}
		for _, y := range [...]float64{y0, y1} {
			if (a.Y < y) != (b.Y < y) {
				x := a.X + (y-a.Y)/(b.Y-a.Y)*(b.X-a.X)
				x0, x1 = math.Min(x0, x), math.Max(x1, x)
			}
		}
		a = b
	}
	return x0, x1
}

// csr holds a list of items a cell, end to end.
type csr struct {
	start []int32
	items []int32
}

func (c *csr) of(cell int) []int32 { return c.items[c.start[cell]:c.start[cell+1]] }

// pair is an item that belongs into a cell.
type pair struct{ cell, item int32 }

func newCSR(cells int, pairs []pair) csr {
	c := csr{start: make([]int32, cells+1), items: make([]int32, len(pairs))}
	for _, p := range pairs {
		c.start[p.cell+1]++
	}
	for i := range cells {
		c.start[i+1] += c.start[i]
	}
	next := append([]int32(nil), c.start[:cells]...)
	for _, p := range pairs {
		c.items[next[p.cell]] = p.item
		next[p.cell]++
	}
	return c
}

// layGrid puts outlines and facets into cells. Where no outline of a facet's
// plane goes through a cell, the plane covers all of it: one entry stands for
// the thin triangles that a cap may have there.
func (b *Base) layGrid() {
	if len(b.facets) == 0 {
		return
	}
	box := r2.Box{Min: b.facets[0].corners[0], Max: b.facets[0].corners[0]}
	for _, f := range b.facets {
		for _, c := range f.corners {
			box.Min = r2.Vec{X: math.Min(box.Min.X, c.X), Y: math.Min(box.Min.Y, c.Y)}
			box.Max = r2.Vec{X: math.Max(box.Max.X, c.X), Y: math.Max(box.Max.Y, c.Y)}
		}
	}
	b.grid = newPlanGrid(box, 2*int(math.Sqrt(float64(len(b.edges))))+16)
	cells := b.grid.nx * b.grid.ny
	var pairs []pair
	for i, e := range b.edges {
		b.grid.cover([]r2.Vec{e.a, e.b}, func(cell int) { pairs = append(pairs, pair{int32(cell), int32(i)}) })
	}
	b.inCell = newCSR(cells, pairs)

	pairs = pairs[:0:0]
	whole := make(map[pair]bool)
	for i, f := range b.facets {
		b.grid.cover(f.corners[:], func(cell int) {
			for _, e := range b.inCell.of(cell) {
				if b.edges[e].plane == f.plane {
					pairs = append(pairs, pair{int32(cell), int32(i)})
					return
				}
			}
			if p := (pair{int32(cell), -1 - f.plane}); !whole[p] {
				whole[p] = true
				pairs = append(pairs, p)
			}
		})
	}
	b.onCell = newCSR(cells, pairs)
}
