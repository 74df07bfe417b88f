package unwarp

import (
	"math"
	"slices"

	"conewright/geom/machine"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// terrain keeps how high things stand on the bed, on a raster in plan.
type terrain struct {
	min    r2.Vec
	cell   float64
	nx, ny int
	z      []float32 // greatest height in each cell, mm; 0: nothing
}

const (
	terrainCell = 0.5 // mm: what an edge of a zone may be off by
	terrainMost = 1000
	// beadReach is how far a bead's material lies from its line, mm: half of a
	// common bead (common practice, no source).
	beadReach = 0.25
)

func newTerrain(t *machine.Travel) *terrain {
	size := math.Max(t.X[1]-t.X[0], t.Y[1]-t.Y[0])
	g := &terrain{min: r2.Vec{X: t.X[0], Y: t.Y[0]}, cell: math.Max(terrainCell, size/terrainMost)}
	g.nx, g.ny = int((t.X[1]-t.X[0])/g.cell)+1, int((t.Y[1]-t.Y[0])/g.cell)+1
	g.z = make([]float32, g.nx*g.ny)
	return g
}

// index returns the cell that holds q; outside, the nearest.
func (g *terrain) index(q r2.Vec) int {
	i := min(max(int((q.X-g.min.X)/g.cell), 0), g.nx-1)
	j := min(max(int((q.Y-g.min.Y)/g.cell), 0), g.ny-1)
	return j*g.nx + i
}

func (g *terrain) at(q r2.Vec) float64 { return float64(g.z[g.index(q)]) }

// lay adds a bead from a to b: at steps of half a cell, the cells that a square
// of beadReach about the line touches.
func (g *terrain) lay(a, b r3.Vec) {
	k, reach := 1/g.cell, beadReach/g.cell
	x, y, z := (a.X-g.min.X)*k, (a.Y-g.min.Y)*k, a.Z
	dx, dy, dz := (b.X-a.X)*k, (b.Y-a.Y)*k, b.Z-a.Z
	n := int(2*math.Sqrt(dx*dx+dy*dy)) + 1
	dx, dy, dz = dx/float64(n), dy/float64(n), dz/float64(n)
	for range n + 1 {
		i0, i1 := min(max(int(x-reach), 0), g.nx-1), min(max(int(x+reach), 0), g.nx-1)
		j0, j1 := min(max(int(y-reach), 0), g.ny-1), min(max(int(y+reach), 0), g.ny-1)
		h := float32(z)
		for j := j0; j <= j1; j++ {
			for i := i0; i <= i1; i++ {
				if c := &g.z[j*g.nx+i]; *c < h {
					*c = h
				}
			}
		}
		x, y, z = x+dx, y+dy, z+dz
	}
}

// block adds an obstacle on the bed.
func (g *terrain) block(b *machine.Box) {
	for x := b.Min[0]; x < b.Max[0]+g.cell; x += g.cell {
		for y := b.Min[1]; y < b.Max[1]+g.cell; y += g.cell {
			q := r2.Vec{X: math.Min(x, b.Max[0]), Y: math.Min(y, b.Max[1])}
			if g.holds(q) {
				k := g.index(q)
				g.z[k] = max(g.z[k], float32(b.Max[2]))
			}
		}
	}
}

func (g *terrain) holds(q r2.Vec) bool {
	return q.X >= g.min.X && q.Y >= g.min.Y && q.X <= g.min.X+float64(g.nx)*g.cell && q.Y <= g.min.Y+float64(g.ny)*g.cell
}

func (g *terrain) clone() *terrain {
	c := *g
	c.z = slices.Clone(g.z)
	return &c
}

// peak is a place where something stands, mm.
type peak struct{ x, y, z float64 }

// peaks returns what stands there, of every four cells the highest, the highest
// first.
func (g *terrain) peaks() []peak {
	var out []peak
	for j := 0; j < g.ny; j += 2 {
		for i := 0; i < g.nx; i += 2 {
			z := float32(0)
			for _, k := range [4][2]int{{i, j}, {min(i+1, g.nx-1), j}, {i, min(j+1, g.ny-1)}, {min(i+1, g.nx-1), min(j+1, g.ny-1)}} {
				z = max(z, g.z[k[1]*g.nx+k[0]])
			}
			if z > 0 {
				out = append(out, peak{g.min.X + float64(i+1)*g.cell, g.min.Y + float64(j+1)*g.cell, float64(z)})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b peak) int {
		switch {
		case a.z > b.z:
			return -1
		case a.z < b.z:
			return 1
		}
		return 0
	})
	return out
}

// underside is how low the head reaches over each place in plan, seen from the
// tip: x toward the lean, y to its left. It is a bound: each cell holds the
// least height within the cell and spread round it.
type underside struct {
	n     int // cells from the middle to an edge
	z     []float64
	least float64 // of all
}

const (
	undersideCell = 0.5
	// undersideSpread covers a peak's cell (0.71 mm to its corners), a bead's
	// half width and the table's own cells.
	undersideSpread = 1.25
)

// newUnderside samples the head's profile and boxes.
func newUnderside(card *machine.Card) *underside {
	axis := card.NozzleAxis(0)
	side := r3.Vec{X: axis.Z, Z: -axis.X}
	reach := 0.0
	h := &card.Head
	for _, p := range h.Profile {
		reach = math.Max(reach, p[0]*axis.X+p[1])
	}
	for _, b := range h.Boxes {
		reach = math.Max(reach, math.Max(math.Hypot(b.Min[0], b.Min[1]), math.Hypot(b.Max[0], b.Max[1])))
		reach = math.Max(reach, math.Max(math.Hypot(b.Min[0], b.Max[1]), math.Hypot(b.Max[0], b.Min[1])))
	}
	u := &underside{n: int(math.Min(reach+undersideSpread, 400)/undersideCell) + 2}
	u.z = make([]float64, (2*u.n+1)*(2*u.n+1))
	for i := range u.z {
		u.z[i] = math.Inf(1)
	}
	for i := 1; i < len(h.Profile); i++ {
		u.cone(h.Profile[i-1], h.Profile[i], axis, side)
	}
	for _, b := range h.Boxes {
		for x := b.Min[0]; x < b.Max[0]+undersideCell; x += undersideCell {
			for y := b.Min[1]; y < b.Max[1]+undersideCell; y += undersideCell {
				u.lower(math.Min(x, b.Max[0]), math.Min(y, b.Max[1]), b.Min[2])
			}
		}
	}
	u.spread()
	return u
}

// cone lowers the table to a truncated cone's surface.
func (u *underside) cone(lo, hi [2]float64, axis, side r3.Vec) {
	n := int((hi[0]-lo[0])/(undersideCell/2)) + 1
	for i := range n + 1 {
		k := float64(i) / float64(n)
		d, r := lo[0]+k*(hi[0]-lo[0]), lo[1]+k*(hi[1]-lo[1])
		m := int(2*math.Pi*r/(undersideCell/2)) + 8
		for j := range m {
			sin, cos := math.Sincos(2 * math.Pi * float64(j) / float64(m))
			p := r3.Add(r3.Scale(d, axis), r3.Scale(r*cos, side))
			u.lower(p.X, p.Y+r*sin, p.Z)
		}
	}
}

func (u *underside) lower(x, y, z float64) {
	i, j := u.n+int(math.Round(x/undersideCell)), u.n+int(math.Round(y/undersideCell))
	if i < 0 || j < 0 || i > 2*u.n || j > 2*u.n {
		return
	}
	k := j*(2*u.n+1) + i
	u.z[k] = math.Min(u.z[k], z)
	u.least = math.Min(u.least, z)
}

// spread gives each cell the least height within undersideSpread.
func (u *underside) spread() {
	side := 2*u.n + 1
	out := make([]float64, len(u.z))
	const far = 3 // cells: undersideSpread, rounded up
	for j := range side {
		for i := range side {
			low := math.Inf(1)
			for dj := max(-far, -j); dj <= min(far, side-1-j); dj++ {
				for di := max(-far, -i); di <= min(far, side-1-i); di++ {
					if float64(di*di+dj*dj)*undersideCell*undersideCell <= undersideSpread*undersideSpread {
						low = math.Min(low, u.z[(j+dj)*side+i+di])
					}
				}
			}
			out[j*side+i] = low
		}
	}
	u.z = out
}

// at returns the head's least height over the place (x, y), +Inf where it
// doesn't reach.
func (u *underside) at(x, y float64) float64 {
	i, j := u.n+int(math.Round(x/undersideCell)), u.n+int(math.Round(y/undersideCell))
	if i < 0 || j < 0 || i > 2*u.n || j > 2*u.n {
		return math.Inf(1)
	}
	return u.z[j*(2*u.n+1)+i]
}

const (
	// peakMargin is how far the head stays over earlier zones where it crosses
	// them on its own zone's shells, mm.
	peakMargin = 0.2
	// nearTip is how near to the tip peaks aren't looked at, mm: there the zone's
	// own base lies, over which the tip keeps its height by itself.
	nearTip = 3.0
)

// clears reports whether a head that leans toward azimuth with its tip at tip
// stays over the peaks.
func (u *underside) clears(peaks []peak, tip r3.Vec, azimuth float64) bool {
	sin, cos := math.Sincos(azimuth)
	for i := range peaks {
		p := &peaks[i]
		over := p.z - tip.Z
		if over < u.least-peakMargin {
			return true // and so are all that follow
		}
		dx, dy := p.x-tip.X, p.y-tip.Y
		if dx*dx+dy*dy < nearTip*nearTip {
			continue
		}
		if over > u.at(dx*cos+dy*sin, dy*cos-dx*sin)-peakMargin {
			return false
		}
	}
	return true
}
