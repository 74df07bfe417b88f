// Package relief keeps how high printed material stands, as bounds from above
// over the plan: a little memory, however long the motion was.
//
// The plan is cut into cells, and these are gathered four by four up to tiles.
// Each cell knows a plane that all material over it lies under, square on the
// shell that was laid there first, and the greatest height. Under a cone or a
// ramp the plane is a hundred times nearer to the material than the height.
//
// Lengths are mm.
package relief

import "gonum.org/v1/gonum/spatial/r3"

const (
	// Edge is that of the smallest cells: about a bead and its neighbour.
	Edge = 1.0
	// tileLevels: a tile is 2^tileLevels cells wide, 64 mm.
	tileLevels = 6
	side       = 1 << tileLevels
	// mostTiles bounds the memory at 128 KiB a tile. A bed of 250 x 210 mm has 20.
	mostTiles = 1000
)

// Cell is what is known of the material over a square of the plan. The zero
// Cell is empty.
type Cell struct {
	nx, ny, nz float32 // unit normal of the plane, pointing up
	d          float32 // no material is further along it, from the tile's corner at z = 0
	z          float32 // nor higher than this
	zone       int16   // of the bead that the plane was laid out for
	laid       bool    // there is material
}

func (c *Cell) normal() r3.Vec { return r3.Vec{X: float64(c.nx), Y: float64(c.ny), Z: float64(c.nz)} }

// tile is a square of side x side cells, and the coarser ones over them:
// level k begins at first[k] and holds (side >> k)^2 cells, row by row.
type tile struct {
	x, y  float64 // lower corner
	cells [cellsOfTile]Cell
}

const cellsOfTile = (4*side*side - 1) / 3

// first is where the cells of a level begin.
var first = func() (f [tileLevels + 1]int) {
	for k := 1; k <= tileLevels; k++ {
		f[k] = f[k-1] + (side>>(k-1))*(side>>(k-1))
	}
	return f
}()

// Relief is all that is printed so far. The zero Relief is empty and ready.
type Relief struct {
	tiles  map[[2]int32]*tile
	order  []*tile // as they were made
	zones  int16
	zone   int
	begun  bool
	tooBig bool
	places [tileLevels + 1]Place // that are being asked about, one a level
}

// TooBig reports that material lies spread over more tiles than are kept: the
// relief then knows nothing.
func (r *Relief) TooBig() bool { return r.tooBig }

// tile returns the tile of a place on the grid of tiles, made if missing; nil
// where there would be too many.
func (r *Relief) tile(x, y int32) *tile {
	if t := r.tiles[[2]int32{x, y}]; t != nil {
		return t
	}
	if len(r.order) == mostTiles {
		r.tooBig = true
		return nil
	}
	if r.tiles == nil {
		r.tiles = map[[2]int32]*tile{}
	}
	t := &tile{x: float64(x) * side * Edge, y: float64(y) * side * Edge}
	r.tiles[[2]int32{x, y}] = t
	r.order = append(r.order, t)
	return t
}
