package register

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// cell is the side of a grid's cells, mm: about two beads.
const cell = 1.0

// maxCells bounds a grid; larger plans get larger cells.
const maxCells = 1 << 20

// segment is a straight line in plan; dz is how far its height is from the
// nominal height of its layer (a spiral's beads).
type segment struct {
	a, b r2.Vec
	dz   float64
}

// grid finds segments near a place. Its memory is used again by build.
type grid struct {
	min    r2.Vec
	side   float64
	nx, ny int
	start  []int32 // items of cell i: item[start[i]:start[i+1]]
	item   []int32
}

// build sorts n segments into cells; each is in every cell that comes nearer
// to it than reach (and perhaps in a few more).
func (g *grid) build(n int, seg func(i int) (a, b r2.Vec), reach float64) {
	area := emptyBox()
	for i := range n {
		a, b := seg(i)
		area.add(a)
		area.add(b)
	}
	g.nx, g.ny = 0, 0
	if area.empty() {
		return
	}
	g.min = r2.Vec{X: area.min.X - reach, Y: area.min.Y - reach}
	w, h := area.max.X+reach-g.min.X, area.max.Y+reach-g.min.Y
	g.side = math.Max(cell, math.Sqrt(w*h/maxCells)*1.01)
	g.nx, g.ny = int(w/g.side)+1, int(h/g.side)+1
	g.start = append(g.start[:0], make([]int32, g.nx*g.ny+1)...)
	for i := range n { // count, then place
		g.visit(seg, i, reach, func(c int) { g.start[c+1]++ })
	}
	for c := range g.nx * g.ny {
		g.start[c+1] += g.start[c]
	}
	total := int(g.start[g.nx*g.ny])
	if cap(g.item) < total {
		g.item = make([]int32, total)
	}
	g.item = g.item[:total]
	for i := n - 1; i >= 0; i-- {
		g.visit(seg, i, reach, func(c int) {
			g.start[c+1]--
			g.item[g.start[c+1]] = int32(i)
		})
	}
	// Now start[c+1] is where cell c begins: shift by one.
	copy(g.start, g.start[1:])
	g.start[g.nx*g.ny] = int32(total)
}

// visit calls do for the cells near segment i: row by row, the stretch of the
// segment within the row and reach.
func (g *grid) visit(seg func(i int) (a, b r2.Vec), i int, reach float64, do func(c int)) {
	a, b := seg(i)
	if a.Y > b.Y {
		a, b = b, a
	}
	y0, y1 := g.row(a.Y-reach), g.row(b.Y+reach)
	for y := y0; y <= y1; y++ {
		lo, hi := a, b
		if b.Y > a.Y {
			below := g.min.Y + float64(y)*g.side - reach
			lo = along(a, b, (below-a.Y)/(b.Y-a.Y))
			hi = along(a, b, (below+g.side+2*reach-a.Y)/(b.Y-a.Y))
		}
		x0, x1 := g.column(math.Min(lo.X, hi.X)-reach), g.column(math.Max(lo.X, hi.X)+reach)
		for x := x0; x <= x1; x++ {
			do(y*g.nx + x)
		}
	}
}

// along returns the point at t, kept within the segment.
func along(a, b r2.Vec, t float64) r2.Vec {
	if !(t > 0) {
		return a
	}
	if t >= 1 {
		return b
	}
	return r2.Vec{X: a.X + t*(b.X-a.X), Y: a.Y + t*(b.Y-a.Y)}
}

func (g *grid) row(y float64) int    { return clampCell((y-g.min.Y)/g.side, g.ny) }
func (g *grid) column(x float64) int { return clampCell((x-g.min.X)/g.side, g.nx) }

// clampCell bounds before converting, since floats beyond an int convert to
// anything.
func clampCell(v float64, n int) int {
	if !(v > 0) {
		return 0
	}
	if v >= float64(n) {
		return n - 1
	}
	return int(v)
}

// at returns the cell that holds p, or -1 off the grid.
func (g *grid) at(p r2.Vec) int {
	x, y := (p.X-g.min.X)/g.side, (p.Y-g.min.Y)/g.side
	if g.nx == 0 || !(x >= 0 && y >= 0 && x < float64(g.nx) && y < float64(g.ny)) {
		return -1
	}
	return int(y)*g.nx + int(x)
}

// items returns the segments of cell c.
func (g *grid) items(c int) []int32 {
	if c < 0 {
		return nil
	}
	return g.item[g.start[c]:g.start[c+1]]
}

// around calls do for the segments in the cells that are k cells from p's, a
// square ring (k = 0: p's own). p may lie off the grid.
func (g *grid) around(p r2.Vec, k int, do func(i int32)) {
	if g.nx == 0 {
		return
	}
	cx, cy := int(math.Floor((p.X-g.min.X)/g.side)), int(math.Floor((p.Y-g.min.Y)/g.side))
	for y := max(cy-k, 0); y <= min(cy+k, g.ny-1); y++ {
		step := 1
		if y != cy-k && y != cy+k {
			step = max(2*k, 1)
		}
		for x := cx - k; x <= cx+k; x += step {
			if x < 0 || x >= g.nx {
				continue
			}
			for _, i := range g.items(y*g.nx + x) {
				do(i)
			}
		}
	}
}

// foot returns the point of the segment that is nearest to p.
func foot(p, a, b r2.Vec) r2.Vec {
	dx, dy := b.X-a.X, b.Y-a.Y
	l := dx*dx + dy*dy
	if l == 0 {
		return a
	}
	return along(a, b, ((p.X-a.X)*dx+(p.Y-a.Y)*dy)/l)
}

// mostAway bounds what distances tells, in cells.
const mostAway = 255

// distances returns, for each cell, how many steps to one of its eight
// neighbours lead to the nearest cell that holds an item, in the memory of dst:
// two sweeps over the grid (Rosenfeld and Pfaltz, "Sequential operations in
// digital picture processing", J. ACM 13, 1966, named from memory).
func (g *grid) distances(dst []uint8) []uint8 {
	n := g.nx * g.ny
	if cap(dst) < n {
		dst = make([]uint8, n)
	}
	dst = dst[:n]
	for c := range dst {
		dst[c] = mostAway
		if g.start[c+1] > g.start[c] {
			dst[c] = 0
		}
	}
	for c := range n {
		g.approach(dst, c, -1)
	}
	for c := n - 1; c >= 0; c-- {
		g.approach(dst, c, 1)
	}
	return dst
}

// approach takes what the neighbours know that a sweep has passed: the one
// beside c, and those in the row before (side -1) or after (side 1).
func (g *grid) approach(dst []uint8, c, side int) {
	if dst[c] == 0 {
		return
	}
	x, y := c%g.nx, c/g.nx
	best := uint8(mostAway - 1)
	if k := x + side; k >= 0 && k < g.nx {
		best = min(best, dst[c+side])
	}
	if k := y + side; k >= 0 && k < g.ny {
		row := k * g.nx
		for i := max(x-1, 0); i <= min(x+1, g.nx-1); i++ {
			best = min(best, dst[row+i])
		}
	}
	dst[c] = min(dst[c], best+1)
}
