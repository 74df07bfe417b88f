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

func newTerrain(t machine.Travel) *terrain {
	size := math.Max(t.X[1]-t.X[0], t.Y[1]-t.Y[0])
	g := &terrain{min: r2.Vec{X: t.X[0], Y: t.Y[0]}, cell: math.Max(terrainCell, size/terrainMost)}
	g.nx, g.ny = int((t.X[1]-t.X[0])/g.cell)+1, int((t.Y[1]-t.Y[0])/g.cell)+1
	g.z = make([]float32, g.nx*g.ny)
	return g
}

// ends gives an axis without end those of what is printed, with room about it.
func ends(t machine.Travel, area r2.Box) machine.Travel {
	const room = 50 // mm
	if t.X.Endless() {
		t.X = machine.Limits{area.Min.X - room, area.Max.X + room}
	}
	if t.Y.Endless() {
		t.Y = machine.Limits{area.Min.Y - room, area.Max.Y + room}
	}
	return t
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
