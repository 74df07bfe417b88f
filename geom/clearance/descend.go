package clearance

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// node is a cell of the pyramid that has yet to be looked into.
type node struct {
	level   int // of grid.levels; -1, -2: cells of 4 and 2 voxels in a block
	x, y, z int // of the cell, in cells of its level
}

// voxels goes down the pyramid to every voxel with earlier material that may
// come near the head. With any set it only tells whether there is one;
// otherwise each bead in them is tried.
func (s *search) voxels(any bool) bool {
	top := len(s.g.levels) - 1
	s.stack = append(s.stack[:0], node{level: top})
	if s.g.levels[top].stamp[0] >= uint32(s.now) {
		return false
	}
	for len(s.stack) > 0 && !s.done() {
		n := s.stack[len(s.stack)-1]
		s.stack = s.stack[:len(s.stack)-1]
		if n.level > 0 {
			s.down(n)
		} else if s.inside(n, any) {
			return true
		}
	}
	return false
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

// inside goes on to the cells in a cell of a block. With any set it returns true
// where one of them is a voxel; otherwise it tries the beads of each voxel.
func (s *search) inside(n node, any bool) bool {
	l := &s.g.levels[0]
	b := &s.g.blocks[l.block[l.at(n.x>>-n.level, n.y>>-n.level, n.z>>-n.level)]]
	edge := s.g.voxel * float64(int(4)>>-n.level) // of the cells inside n
	for k := range 8 {
		x, y, z := 2*n.x+k&1, 2*n.y+k>>1&1, 2*n.z+k>>2
		switch {
		case s.g.stamp(b, n.level, x, y, z) >= uint32(s.now) || !s.near(x, y, z, edge, any):
		case n.level > -2:
			s.stack = append(s.stack, node{n.level - 1, x, y, z})
		case any:
			return true
		default:
			v := z&7<<6 | y&7<<3 | x&7
			s.voxel(s.g.beads[b.start[v]:b.start[v+1]], s.g.corner(x, y, z, edge))
		}
	}
	return false
}

// stamp returns the earliest stamp of a cell within a block, under a node of
// that level.
func (g *grid) stamp(b *block, level, x, y, z int) uint32 {
	switch level {
	case 0:
		return b.stamp2[z&1<<2|y&1<<1|x&1]
	case -1:
		return b.stamp4[z&3<<4|y&3<<2|x&3]
	}
	v := z&7<<6 | y&7<<3 | x&7
	if b.start[v] == b.start[v+1] {
		return never
	}
	return g.beads[b.start[v]].laid
}

// voxel tries the beads of the voxel at lo, but for those that are under the
// shell: most of them.
func (s *search) voxel(beads []entry, lo r3.Vec) {
	edge := s.g.voxel
	f, h := &s.pose, s.c.head
	c := f.local(r3.Add(lo, r3.Vec{X: edge / 2, Y: edge / 2, Z: edge / 2}))
	r := edge*(math.Sqrt(3)/2) + s.g.off
	room := math.Inf(-1) // for a bead's centre and radius along the nozzle axis, from lo
	axis := f.axis(h)
	if f.flat && !h.boxWithin(c, r+max(f.allowed+f.slip(c, r), f.noteUnder)) {
		room = h.flat.rise - f.rise(h, c, r) - r3.Dot(axis, r3.Sub(lo, f.tip))
	}
	k := r3.Scale(edge/255, axis)
	for i := range beads {
		e := &beads[i]
		if e.laid >= uint32(s.now) || s.done() {
			return
		}
		up := k.X*float64(e.c[0]) + k.Y*float64(e.c[1]) + k.Z*float64(e.c[2])
		if e.r != 255 && (up+float64(e.r)*edge/100 <= room || up+e.along(axis)*edge/100 <= room) {
			continue
		}
		if s.matters(e, lo) {
			s.try(int(e.laid), lo)
		}
	}
}

// along bounds how far the bead reaches from its centre along a unit vector,
// in hundredths of the voxel's edge.
func (e *entry) along(axis r3.Vec) float64 {
	if e.thick == 255 {
		return math.Inf(1)
	}
	cos := r3.Dot(e.normal(), axis)
	return float64(e.thick) + float64(e.r)*math.Sqrt(max(0, 1-cos*cos))
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
	need := r + max(s.pose.allowed+slip, s.pose.noteUnder)
	if whole {
		need = r + max(s.pose.allowed, s.pose.noteUnder) + slip
	}
	return s.c.head.boxWithin(c, need) || !s.under(c, r, r) && s.c.head.profileWithin(c, need)
}
