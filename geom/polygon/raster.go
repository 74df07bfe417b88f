package polygon

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// raster is a region on a grid of square cells.
type raster struct {
	min    r2.Vec
	cell   float64
	nx, ny int
	// depth is the distance of each cell's middle from the outline, in cells, about:
	// counted in steps to the eight neighbours. 0: outside.
	depth []float64
}

// newRaster lays a grid of at most about most cells over a region, of which about
// inside lie in it.
func newRaster(r Region, inside, most float64) *raster {
	box := r.Bounds()
	size := r2.Sub(box.Max, box.Min)
	g := &raster{cell: math.Max(math.Sqrt(r.Area()/inside), math.Sqrt(size.X*size.Y/most))}
	margin := r2.Vec{X: g.cell, Y: g.cell} // cells on the rim are outside
	g.min = r2.Sub(box.Min, margin)
	g.nx, g.ny = int(size.X/g.cell)+3, int(size.Y/g.cell)+3
	g.depth = make([]float64, g.nx*g.ny)
	g.fill(r)
	g.measure()
	return g
}

func (g *raster) middle(i int) r2.Vec {
	return r2.Vec{X: g.min.X + (float64(i%g.nx)+0.5)*g.cell, Y: g.min.Y + (float64(i/g.nx)+0.5)*g.cell}
}

// fill marks the cells whose middles lie inside, row by row (even-odd rule).
func (g *raster) fill(r Region) {
	crossings := make([][]float64, g.ny)
	for _, c := range r {
		a := c[len(c)-1]
		for _, b := range c {
			low, high := a, b
			if low.Y > high.Y {
				low, high = high, low
			}
			row := func(y float64) int { return max(0, int(math.Ceil((y-g.min.Y)/g.cell-0.5))) }
			for y := row(low.Y); y < min(row(high.Y), g.ny); y++ {
				t := (g.min.Y + (float64(y)+0.5)*g.cell - low.Y) / (high.Y - low.Y)
				crossings[y] = append(crossings[y], low.X+t*(high.X-low.X))
			}
			a = b
		}
	}
	for y, xs := range crossings {
		slices.Sort(xs)
		for k := 0; k+1 < len(xs); k += 2 {
			from := int(math.Ceil((xs[k]-g.min.X)/g.cell - 0.5))
			to := int(math.Ceil((xs[k+1]-g.min.X)/g.cell - 0.5))
			for x := max(1, from); x < min(to, g.nx-1); x++ {
				if y > 0 && y < g.ny-1 {
					g.depth[y*g.nx+x] = math.Inf(1)
				}
			}
		}
	}
}

// around calls visit for the eight neighbours of a cell inside.
func (g *raster) around(i int, visit func(j int, step float64)) {
	for dy := -1; dy <= 1; dy++ {
		for dx := -1; dx <= 1; dx++ {
			if dx != 0 || dy != 0 {
				visit(i+dy*g.nx+dx, math.Sqrt(float64(dx*dx+dy*dy)))
			}
		}
	}
}

// measure finds the depths in two passes, forth and back (Borgefors, "Distance
// transformations in digital images", 1986; from memory).
func (g *raster) measure() {
	visit := func(i int) {
		if g.depth[i] > 0 {
			g.around(i, func(j int, step float64) { g.depth[i] = math.Min(g.depth[i], g.depth[j]+step) })
		}
	}
	for i := range g.depth {
		visit(i)
	}
	for i := len(g.depth) - 1; i >= 0; i-- {
		visit(i)
	}
}

// ways finds the cheapest way from a cell to every other (Dijkstra); a step costs its
// length times what price says of the cell it leads to. The last cell is the one that
// costs most to reach.
func (g *raster) ways(start int, price func(i int) float64) (from []int32, last int) {
	from = make([]int32, len(g.depth))
	cost := make([]float64, len(g.depth))
	for i := range cost {
		cost[i] = math.Inf(1)
	}
	cost[start], from[start], last = 0, -1, start
	queue := &heap{}
	queue.push(start, 0)
	for len(queue.items) > 0 {
		i, c := queue.pop()
		if c > cost[i] {
			continue
		}
		last = i
		g.around(i, func(j int, step float64) {
			if g.depth[j] == 0 {
				return
			}
			if v := c + step*price(j); v < cost[j] {
				cost[j], from[j] = v, int32(i)
				queue.push(j, v)
			}
		})
	}
	return from, last
}

// heap is a queue whose least costly item comes first.
type heap struct{ items []item }

type item struct {
	cost float64
	cell int
}

func (h *heap) push(cell int, cost float64) {
	h.items = append(h.items, item{cost, cell})
	for i := len(h.items) - 1; i > 0; {
		up := (i - 1) / 2
		if h.items[up].cost <= h.items[i].cost {
			break
		}
		h.items[up], h.items[i] = h.items[i], h.items[up]
		i = up
	}
}

func (h *heap) pop() (cell int, cost float64) {
	top, last := h.items[0], len(h.items)-1
	h.items[0] = h.items[last]
	h.items = h.items[:last]
	for i := 0; ; {
		least := i
		for _, k := range [2]int{2*i + 1, 2*i + 2} {
			if k < last && h.items[k].cost < h.items[least].cost {
				least = k
			}
		}
		if least == i {
			break
		}
		h.items[least], h.items[i] = h.items[i], h.items[least]
		i = least
	}
	return top.cell, top.cost
}
