package planner

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// pool holds places where beads may begin, in square cells, and hands out the
// nearest one.
type pool struct {
	lo     r2.Vec
	cell   float64
	nx, ny int
	cells  [][]entry
}

// entry is a place where bead number bead may begin.
type entry struct {
	at   r2.Vec
	bead int
}

func newPool(entries []entry) *pool {
	lo, hi := r2.Vec{X: math.Inf(1), Y: math.Inf(1)}, r2.Vec{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, e := range entries {
		lo = r2.Vec{X: math.Min(lo.X, e.at.X), Y: math.Min(lo.Y, e.at.Y)}
		hi = r2.Vec{X: math.Max(hi.X, e.at.X), Y: math.Max(hi.Y, e.at.Y)}
	}
	p := &pool{lo: lo, nx: 1, ny: 1, cell: 1}
	if len(entries) > 0 {
		w, h := hi.X-lo.X, hi.Y-lo.Y
		// About two entries a cell, but never more cells along a side than entries.
		n := float64(len(entries))
		p.cell = math.Max(math.Sqrt(2*w*h/n), math.Max(w, h)/n)
		if p.cell == 0 {
			p.cell = 1
		}
		p.nx, p.ny = int(w/p.cell)+1, int(h/p.cell)+1
	}
	p.cells = make([][]entry, p.nx*p.ny)
	for _, e := range entries {
		x, y := p.cellOf(e.at)
		p.cells[y*p.nx+x] = append(p.cells[y*p.nx+x], e)
	}
	return p
}

// cellOf is the cell of q, or the outermost one toward it.
func (p *pool) cellOf(q r2.Vec) (x, y int) {
	x = int(math.Max(0, math.Min(float64(p.nx-1), (q.X-p.lo.X)/p.cell)))
	y = int(math.Max(0, math.Min(float64(p.ny-1), (q.Y-p.lo.Y)/p.cell)))
	return x, y
}

// nearest returns the bead that begins nearest to q and isn't taken; of equals
// the one with the lowest number; -1 if none is left. It searches rings of cells
// outward and drops taken entries on its way.
func (p *pool) nearest(q r2.Vec, taken []bool) int {
	cx, cy := p.cellOf(q)
	best, least := -1, math.Inf(1)
	for ring := 0; ring < p.nx+p.ny; ring++ {
		// Cells past this ring are at least ring cells away from q's own.
		if reach := float64(ring-1) * p.cell; best >= 0 && reach > 0 && reach*reach > least {
			break
		}
		for y := max(0, cy-ring); y <= min(p.ny-1, cy+ring); y++ {
			step := 1
			if y != cy-ring && y != cy+ring {
				step = max(1, 2*ring)
			}
			for x := cx - ring; x <= cx+ring; x += step {
				if x >= 0 && x < p.nx {
					best, least = p.look(y*p.nx+x, q, taken, best, least)
				}
			}
		}
	}
	return best
}

func (p *pool) look(cell int, q r2.Vec, taken []bool, best int, least float64) (int, float64) {
	kept := p.cells[cell][:0]
	for _, e := range p.cells[cell] {
		if taken[e.bead] {
			continue
		}
		kept = append(kept, e)
		d := r2.Norm2(r2.Sub(e.at, q))
		if d < least || d == least && e.bead < best {
			best, least = e.bead, d
		}
	}
	p.cells[cell] = kept
	return best, least
}
