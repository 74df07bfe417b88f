package clearance

import (
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
	c    *checker
	g    *grid   // nil: nothing is printed
	best float64 // least clearance so far in this chunk
	at   Nearest // where

	// The move that is being looked at.
	now  int
	a, b machine.Pose
	hit  hit // into printed material
	// The least clearance of the moves before it in the chunk.
	before float64
	probed int // moves of the chunk that collide

	exact bool // any nearer place is noted, however little nearer

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

// deeper is the share by which a collision must be deeper than the deepest so
// far to be noted. It keeps moves deep in material from being searched to the end.
const deeper = 0.25

// mostProbed is the number of colliding moves of a chunk that are searched for
// the deepest place. With a head that can't pass, nearly every move collides,
// deep in material; any further one is done with at its first hit.
const mostProbed = 64

// done reports that there is no more to know about the move.
func (s *search) done() bool { return s.hit.depth > 0 && s.probed >= mostProbed }

// allowed is the signed distance under which a collision is noted. A
// move that collides is looked into further only for what is deeper than all
// before it in the chunk.
func (s *search) allowed() float64 {
	if s.hit.depth > 0 {
		return min(-s.hit.depth, s.before)*(1+deeper) - contactTolerance
	}
	return -contactTolerance
}

// Clearances below nearLookOut, mm, are looked for in every move. Greater ones
// are measured in so many moves only that long motions take no longer for it:
// beads of the very shell that is being laid, just beyond tip_free, are always
// about as near.
const (
	mostNearLookOut = 0.3
	fewSteps        = 2_000
)

// noteUnder is the distance under which a clearance is noted.
func (s *search) noteUnder() float64 {
	switch {
	case s.best < 0:
		return s.best*(1+deeper) - fineness
	case s.c.rec(s.now).use != measure && !s.exact:
		return min(s.best, s.c.nearLookOut) - fineness
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
	s.pose.allowed, s.pose.noteUnder = s.allowed(), s.noteUnder()
	s.pose.flat = s.c.head.flat.gap >= max(s.pose.allowed, s.pose.noteUnder)
	if s.pose.run <= s.g.voxel/2 && s.pose.turn+s.pose.swing <= fineTurn {
		s.voxels(false)
		return
	}
	if !s.voxels(true) {
		return
	}
	mid := (t0 + t1) / 2
	s.material(t0, mid)
	if !s.done() {
		s.material(mid, t1)
	}
}
