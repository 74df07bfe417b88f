package clearance

import (
	"math"

	"conewright/geom/machine"

	"gonum.org/v1/gonum/spatial/r3"
)

// Tolerances of what counts as a collision.
const (
	// contactTolerance is the depth, mm, up to which the head may reach into
	// printed material or an obstacle. Beads that are meant to touch do so to
	// within what their places are rounded and cut to: the chord of a corrected
	// move lies up to the job's tolerance (0.02) under its shell, coordinates are
	// rounded by up to 0.005 (two decimals) in each of three axes (0.009) at
	// either end, and the search itself stops at 0.03 from the deepest point at
	// worst, mostly far nearer. Hot plastic gives way to this much.
	contactTolerance = 0.05
	// bedTolerance is the same for the bed, which gives way to nothing. The bed
	// rule lets the rim touch the bed exactly; heights are rounded by 0.005.
	bedTolerance = 0.01
	// fineness is the size, mm, at which the search for a least distance stops:
	// a third of a bead's usual radius.
	fineness = 0.03
)

// search moves the head through one chunk of the motion.
type search struct {
	solids
	c       *Checker
	g       *grid   // nil: nothing is printed
	best    float64 // least clearance so far in this chunk
	at      Nearest // where
	bestBed Nearest

	// The move that is being looked at.
	now  int
	a, b machine.Pose
	hit  hit // into printed material

	pose  frame // the piece of it
	stack []node
	tiles []tile
}

// hit is the deepest collision of one move with one thing; depth 0: none.
type hit struct {
	depth float64
	part  Part
	at    r3.Vec
	laid  int // record, for printed material
}

// frame is the head at one moment, and how far it gets from there within the
// piece of the move that the moment is the middle of.
type frame struct {
	tip      r3.Vec
	sin, cos float64
	run      float64 // mm, of the tip, either way
	along    float64 // mm, of that, along the nozzle axis
	turn     float64 // radians, either way

	// As they were when the piece was begun; they only sink.
	allowed, news float64
	flat          bool // the short cut holds
}

func (s *search) frame(t0, t1 float64) frame {
	t, h := (t0+t1)/2, (t1-t0)/2
	d := r3.Sub(s.b.Tip, s.a.Tip)
	da := s.b.Azimuth - s.a.Azimuth
	f := frame{tip: r3.Add(s.a.Tip, r3.Scale(t, d)), run: h * math.Sqrt(r3.Norm2(d)), turn: h * math.Abs(da)}
	f.sin, f.cos = math.Sincos(s.a.Azimuth + t*da)
	l := f.direction(d)
	f.along = h * math.Abs(l.X*s.c.head.sin+l.Z*s.c.head.cos)
	return f
}

// local brings a place into the head's frame.
func (f *frame) local(p r3.Vec) r3.Vec {
	x, y := p.X-f.tip.X, p.Y-f.tip.Y
	return r3.Vec{X: x*f.cos + y*f.sin, Y: y*f.cos - x*f.sin, Z: p.Z - f.tip.Z}
}

// slip bounds how far a place within r of the local place p gets, seen from
// the head, within the piece: the tip's run, and the turn times the place's
// distance from the tip in plan.
func (f *frame) slip(p r3.Vec, r float64) float64 {
	if f.turn == 0 {
		return f.run
	}
	return f.run + f.turn*(math.Sqrt(p.X*p.X+p.Y*p.Y)+r)
}

// deeper is the share by which a collision must be deeper than the deepest so
// far to be news: how deep matters little once there is one.
const deeper = 0.25

// allowed is the signed distance under which a collision is (still) news.
func (s *search) allowed() float64 {
	if s.hit.depth > 0 {
		return -s.hit.depth*(1+deeper) - contactTolerance
	}
	return -contactTolerance
}

// Least clearances below ample, mm, are looked for in every move: ordinary
// moves slip by as much, so that the proof alone takes as long. Greater ones are
// measured in one move of sampleEvery, since beads of the very shell that is
// being laid, just beyond tip_free, are always about as near.
const (
	ample       = 0.5
	sampleEvery = 32
)

// news is the distance under which a clearance is (still) news.
func (s *search) news() float64 {
	switch {
	case s.best < 0:
		return s.best*(1+deeper) - fineness
	case s.now%sampleEvery != 0:
		return min(s.best, ample) - fineness
	}
	return s.best - fineness
}

// Pieces of a move are cut until the tip's run and the head's turn either way
// are at most these: then voxels are searched one by one.
const (
	fineTurn   = 0.06 // radians: at most 0.6 mm at 10 mm from the tip
	finestSlip = contactTolerance / 2
)

// material looks for printed material in the way of the move's piece [t0, t1].
func (s *search) material(t0, t1 float64) {
	s.pose = s.frame(t0, t1)
	s.pose.allowed, s.pose.news = s.allowed(), s.news()
	s.pose.flat = s.c.head.flat.gap >= max(s.pose.allowed, s.pose.news)
	if s.pose.run <= s.g.voxel/2 && s.pose.turn <= fineTurn {
		s.voxels(false)
		return
	}
	if !s.voxels(true) {
		return
	}
	mid := (t0 + t1) / 2
	s.material(t0, mid)
	s.material(mid, t1)
}

// node is a cell of the pyramid that has yet to be looked into.
type node struct {
	level   int // of grid.levels; -1, -2: cells of 4 and 2 voxels in a block
	x, y, z int // of the cell, in cells of its level
}

// voxels goes down the pyramid to every voxel with earlier material that may
// come near the head. With any set it only tells whether there is one;
// otherwise each bead in them is tried.
func (s *search) voxels(any bool) bool {
	s.stack = append(s.stack[:0], node{level: len(s.g.levels) - 1})
	now := uint32(s.now)
	if s.g.levels[len(s.g.levels)-1].stamp[0] >= now {
		return false
	}
	for len(s.stack) > 0 {
		n := s.stack[len(s.stack)-1]
		s.stack = s.stack[:len(s.stack)-1]
		if n.level > 0 {
			s.down(n)
			continue
		}
		b := &s.g.blocks[s.block(n)]
		edge := s.g.voxel * float64(int(4)>>(-n.level)) // of the cells inside n
		for k := range 8 {
			x, y, z := 2*n.x+k&1, 2*n.y+k>>1&1, 2*n.z+k>>2
			switch n.level {
			case 0:
				if b.stamp2[z&1<<2|y&1<<1|x&1] >= now || !s.near(x, y, z, edge, any) {
					continue
				}
			case -1:
				if b.stamp4[z&3<<4|y&3<<2|x&3] >= now || !s.near(x, y, z, edge, any) {
					continue
				}
			default:
				v := z&7<<6 | y&7<<3 | x&7
				i, end := b.start[v], b.start[v+1]
				if i == end || s.g.beads[i].laid >= now || !s.near(x, y, z, edge, any) {
					continue
				}
				if any {
					return true
				}
				lo := s.g.corner(x, y, z, edge)
				for ; i < end && s.g.beads[i].laid < now; i++ {
					if e := &s.g.beads[i]; s.matters(e, lo) {
						s.try(int(e.laid), lo)
					}
				}
				continue
			}
			s.stack = append(s.stack, node{n.level - 1, x, y, z})
		}
	}
	return false
}

// block returns the block that a cell of level 0 or less lies in.
func (s *search) block(n node) int32 {
	l := &s.g.levels[0]
	return l.block[l.at(n.x>>-n.level, n.y>>-n.level, n.z>>-n.level)]
}

// down puts the children of a cell above the blocks on the stack.
func (s *search) down(n node) {
	l := &s.g.levels[n.level-1]
	edge := s.g.voxel * float64(int(8)<<(n.level-1))
	for z := 2 * n.z; z < min(2*n.z+2, l.n[2]); z++ {
		for y := 2 * n.y; y < min(2*n.y+2, l.n[1]); y++ {
			for x := 2 * n.x; x < min(2*n.x+2, l.n[0]); x++ {
				if l.stamp[l.at(x, y, z)] < uint32(s.now) && s.near(x, y, z, edge, false) {
					s.stack = append(s.stack, node{n.level - 1, x, y, z})
				}
			}
		}
	}
}

// near reports whether beads of a cell may come so near to the head within the
// piece that they matter: collide, or stand nearer than what was nearest so
// far. The latter is judged where the piece has its middle; with whole set
// anywhere in the piece, since it will be cut further.
func (s *search) near(x, y, z int, edge float64, whole bool) bool {
	c := s.pose.local(r3.Add(s.g.origin, r3.Vec{X: (float64(x) + 0.5) * edge, Y: (float64(y) + 0.5) * edge, Z: (float64(z) + 0.5) * edge}))
	return s.reachable(c, edge*(math.Sqrt(3)/2)+s.g.off, whole)
}

// matters is the same for the ball around a bead in the voxel at lo.
func (s *search) matters(e *entry, lo r3.Vec) bool {
	c, r := e.ball(lo, s.g.voxel)
	c = s.pose.local(c)
	if free := s.c.head.free - r - s.pose.run; free > 0 && r3.Norm2(c) < free*free {
		return false // under the tip all the time
	}
	return s.reachable(c, r, false)
}

// reachable reports whether what is within r of the local place c may matter.
func (s *search) reachable(c r3.Vec, r float64, whole bool) bool {
	slip := s.pose.slip(c, r)
	need := r + max(s.pose.allowed+slip, s.pose.news)
	if whole {
		need = r + max(s.pose.allowed, s.pose.news) + slip
	}
	return s.c.head.boxWithin(c, need) || !s.under(c, r, r) && s.c.head.profileWithin(c, need)
}
