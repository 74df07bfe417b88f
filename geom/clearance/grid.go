package clearance

import (
	"context"
	"errors"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// grid holds which beads run through which voxel, in blocks of 8 x 8 x 8
// voxels, and over them a pyramid of the earliest stamp in each cell: the cells
// of a level are twice as wide as those of the level under it. A stamp is the
// number of the record that laid the bead; never marks an empty cell.
type grid struct {
	origin r3.Vec
	voxel  float64
	off    float64 // no point of a bead is further from its tracks
	levels []level // levels[0]: a cell a block; the last one is a single cell
	blocks []block
	beads  []entry // of all voxels; within a voxel by stamp
}

const never = math.MaxUint32

// level holds the earliest stamp of each cell.
type level struct {
	n     [3]int
	stamp []uint32
	block []int32 // levels[0] only: the number of the block, -1 where empty
}

func (l *level) at(x, y, z int) int { return (z*l.n[1]+y)*l.n[0] + x }

// block is 8 x 8 x 8 voxels. Indices run (z*n + y)*n + x.
type block struct {
	stamp2 [8]uint32  // cells of 4 voxels
	stamp4 [64]uint32 // cells of 2 voxels
	start  [513]uint32
}

// Bounds on the grid's size; a motion that would need more gets coarser voxels.
// At 2.3 KiB a block and 12 bytes a bead in a voxel they keep it under 320 MiB.
// A part that fills 250 x 210 x 200 mm needs 50,000 blocks of 6 mm.
const (
	maxBlocks  = 60_000
	maxEntries = 16_000_000
	maxCells   = 8_000_000 // of the lowest level, empty ones included
)

// errTooMany makes build try again with coarser voxels.
var errTooMany = errors.New("too many voxels")

// deposit sorts all beads into voxels.
func (c *checker) deposit(ctx context.Context) (*grid, error) {
	lo, hi, any := c.bounds()
	if !any {
		return nil, nil
	}
	for voxel := c.o.Voxel; ; voxel *= 2 {
		g, err := c.build(ctx, lo, hi, voxel)
		if !errors.Is(err, errTooMany) {
			return g, err
		}
	}
}

func (c *checker) bounds() (lo, hi r3.Vec, any bool) {
	inf := math.Inf(1)
	lo, hi = r3.Vec{X: inf, Y: inf, Z: inf}, r3.Vec{X: -inf, Y: -inf, Z: -inf}
	for i := 1; i < c.n; i++ {
		if c.rec(i).thickness == 0 {
			continue
		}
		any = true
		s := c.strip(i)
		for _, p := range [2]r3.Vec{s.p, r3.Add(s.p, r3.Scale(s.l, s.u))} {
			lo = r3.Vec{X: min(lo.X, p.X-s.hv), Y: min(lo.Y, p.Y-s.hv), Z: min(lo.Z, p.Z-s.hv)}
			hi = r3.Vec{X: max(hi.X, p.X+s.hv), Y: max(hi.Y, p.Y+s.hv), Z: max(hi.Z, p.Z+s.hv)}
		}
	}
	return lo, hi, any
}

// build counts the beads of each voxel in one sweep and fills them in in a
// second one.
func (c *checker) build(ctx context.Context, lo, hi r3.Vec, voxel float64) (*grid, error) {
	g := &grid{voxel: voxel, origin: r3.Sub(lo, r3.Vec{X: voxel / 2, Y: voxel / 2, Z: voxel / 2})}
	var n [3]int
	cells := 1.0
	for i, d := range [3]float64{hi.X - lo.X, hi.Y - lo.Y, hi.Z - lo.Z} {
		n[i] = int((d+voxel)/(8*voxel)) + 1
		cells *= float64(n[i])
	}
	if cells > maxCells {
		return nil, errTooMany
	}
	base := level{n: n, stamp: make([]uint32, n[0]*n[1]*n[2]), block: make([]int32, n[0]*n[1]*n[2])}
	for i := range base.stamp {
		base.stamp[i], base.block[i] = never, -1
	}
	g.levels = []level{base}
	if err := c.count(ctx, g); err != nil {
		return nil, err
	}
	if err := c.fill(ctx, g); err != nil {
		return nil, err
	}
	g.pyramid()
	return g, nil
}

// count makes the blocks, with the number of beads of voxel v in start[v+1].
func (c *checker) count(ctx context.Context, g *grid) error {
	base := &g.levels[0]
	total, many := 0, false
	err := c.eachTrack(ctx, g, func(s *strip, _, _ int, cell, voxel int, _ r3.Vec) bool {
		b := base.block[cell]
		if b < 0 {
			if len(g.blocks) == maxBlocks {
				many = true
				return false
			}
			b = int32(len(g.blocks))
			base.block[cell] = b
			base.stamp[cell] = uint32(s.laid)
			g.blocks = append(g.blocks, block{})
		}
		g.blocks[b].start[voxel+1]++
		total++
		many = total > maxEntries
		return !many
	})
	if many {
		return errTooMany
	}
	g.beads = make([]entry, total)
	return err
}

// fill turns counts into places and sets the beads there. While it runs,
// start[v] is where voxel v's next bead goes.
func (c *checker) fill(ctx context.Context, g *grid) error {
	sum := uint32(0)
	for i := range g.blocks {
		s := &g.blocks[i].start
		for v := 0; v < 512; v++ {
			sum, s[v] = sum+s[v+1], sum
		}
		s[512] = sum
	}
	base := &g.levels[0]
	err := c.eachTrack(ctx, g, func(s *strip, k, n int, cell, voxel int, lo r3.Vec) bool {
		next := &g.blocks[base.block[cell]].start[voxel]
		g.beads[*next] = s.entry(k, n, lo, g.voxel)
		*next++
		return true
	})
	for i := range g.blocks { // each start has run on to where the next begins
		s := &g.blocks[i].start
		copy(s[1:], s[:512])
		s[0] = 0
		if i > 0 {
			s[0] = g.blocks[i-1].start[512]
		}
	}
	return err
}

// eachTrack calls f for each voxel that each bead's tracks run through, in the
// order of the beads, until it returns false: track k of n, the voxel's block and
// number in it, and its lower corner.
func (c *checker) eachTrack(ctx context.Context, g *grid, f func(s *strip, k, n, cell, voxel int, lo r3.Vec) bool) error {
	n := g.levels[0].n
	for i := 1; i < c.n; i++ {
		if i&0xfff == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		if c.rec(i).thickness == 0 {
			continue
		}
		s := c.strip(i)
		tracks, off := s.tracks(g.voxel)
		g.off = max(g.off, off)
		for k := range tracks {
			a := r3.Scale(1/g.voxel, r3.Sub(s.track(k, tracks), g.origin))
			if !walk(a, r3.Scale(s.l/g.voxel, s.u), func(x, y, z int) bool {
				cell := ((z>>3)*n[1]+y>>3)*n[0] + x>>3
				return f(&s, k, tracks, cell, z&7<<6|y&7<<3|x&7, g.corner(x, y, z, g.voxel))
			}) {
				return nil
			}
		}
	}
	return nil
}

// walk calls f for each unit cell on the way from a to a + d, in order, until
// it returns false (Amanatides and Woo, A Fast Voxel Traversal Algorithm for
// Ray Tracing, Eurographics 1987).
func walk(a, d r3.Vec, f func(x, y, z int) bool) bool {
	p, dd := [3]float64{a.X, a.Y, a.Z}, [3]float64{d.X, d.Y, d.Z}
	var at, dir, left [3]int
	var next, each [3]float64
	for i := range 3 {
		at[i] = int(math.Floor(p[i]))
		left[i] = int(math.Floor(p[i]+dd[i])) - at[i]
		next[i] = math.Inf(1)
		switch {
		case left[i] > 0:
			dir[i], each[i] = 1, 1/dd[i]
			next[i] = (float64(at[i]+1) - p[i]) / dd[i]
		case left[i] < 0:
			dir[i], each[i] = -1, -1/dd[i]
			next[i] = (float64(at[i]) - p[i]) / dd[i]
		}
	}
	for {
		if !f(at[0], at[1], at[2]) {
			return false
		}
		if left == [3]int{} {
			return true
		}
		i := 0
		if next[1] < next[0] {
			i = 1
		}
		if next[2] < next[i] {
			i = 2
		}
		at[i] += dir[i]
		next[i] += each[i]
		if left[i] -= dir[i]; left[i] == 0 {
			next[i] = math.Inf(1)
		}
	}
}

// corner returns the lower corner of a cell, counted in cells of that edge.
func (g *grid) corner(x, y, z int, edge float64) r3.Vec {
	return r3.Vec{X: g.origin.X + float64(x)*edge, Y: g.origin.Y + float64(y)*edge, Z: g.origin.Z + float64(z)*edge}
}

// pyramid fills in the earliest stamps, from the voxels up.
func (g *grid) pyramid() {
	for i := range g.blocks {
		b := &g.blocks[i]
		for j := range b.stamp2 {
			b.stamp2[j] = never
		}
		for j := range b.stamp4 {
			b.stamp4[j] = never
		}
		for v := range 512 {
			if b.start[v] == b.start[v+1] {
				continue
			}
			x, y, z, s := v&7, v>>3&7, v>>6, g.beads[b.start[v]].laid
			q, e := (z>>1)<<4|(y>>1)<<2|x>>1, (z>>2)<<2|(y>>2)<<1|x>>2
			b.stamp4[q], b.stamp2[e] = min(b.stamp4[q], s), min(b.stamp2[e], s)
		}
	}
	for {
		low := &g.levels[len(g.levels)-1]
		if len(low.stamp) == 1 {
			return
		}
		up := level{n: [3]int{(low.n[0] + 1) / 2, (low.n[1] + 1) / 2, (low.n[2] + 1) / 2}}
		up.stamp = make([]uint32, up.n[0]*up.n[1]*up.n[2])
		for i := range up.stamp {
			up.stamp[i] = never
		}
		for z := range low.n[2] {
			for y := range low.n[1] {
				for x := range low.n[0] {
					u := up.at(x/2, y/2, z/2)
					up.stamp[u] = min(up.stamp[u], low.stamp[low.at(x, y, z)])
				}
			}
		}
		g.levels = append(g.levels, up)
	}
}
