package deposit

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// cellEdge is the edge of the squares of the plan by which segments are found:
	// about two beads.
	cellEdge = 0.8
	// tileSide is the number of cells along the edge of a tile; cells are made a
	// tile at a time.
	tileSide = 32
	// mostSegments bounds what a cell keeps. A cell under a fine motion holds some
	// 30 segments of the last shells.
	mostSegments = 96
	// firstSegments is what a cell holds before anything is dropped.
	firstSegments = 16
	// buriedLeast is how many shell thicknesses a segment must lie under a later
	// one to be dropped: no bead rests on it, and no rim reaches it, that doesn't
	// meet the later one first.
	buriedLeast = 3.0
	// buriedMost is the greatest such distance: material much further up may be a
	// ledge with free space under it.
	buriedMost = 30.0
)

// surface holds the segments near the surface of what is laid.
type surface struct {
	tiles map[[2]int32]*tile
	key   [2]int32 // of the tile asked for last
	last  *tile
	top   float64 // greatest height of all beads
	out   float64 // how far the tops of beads reach out of the cells of their middle lines, at most
}

type tile [tileSide * tileSide]cell

// cell is what lies over a square of the plan. No bead of it reaches over its
// plane, the one square on the shell's normal there.
type cell struct {
	segments []segment // in the order in which they were laid
	top      float32   // greatest height of any bead that was ever laid here
	n        vec32     // unit normal of the plane
	offset   float64   // n.p of its points
}

// sameShell is the least cosine between a segment's normal and that of its
// cell's plane: 11 degrees. Beyond it the plane is laid out anew.
const sameShell = 0.98

// sameShellLean is the tangent of that angle.
const sameShellLean = 0.2031

// cellOf returns the index of the cell of a coordinate.
func cellOf(v float64) int32 { return int32(math.Floor(v / cellEdge)) }

// at returns a cell, nil where nothing was laid in its tile.
func (s *surface) at(x, y int32) *cell {
	k := [2]int32{x >> 5, y >> 5}
	if s.last == nil || s.key != k {
		t := s.tiles[k]
		if t == nil {
			return nil
		}
		s.key, s.last = k, t
	}
	return &s.last[(y&(tileSide-1))*tileSide+x&(tileSide-1)]
}

// made is at, the tile made where it is missing.
func (s *surface) made(x, y int32) *cell {
	if c := s.at(x, y); c != nil {
		return c
	}
	if s.tiles == nil {
		s.tiles = map[[2]int32]*tile{}
	}
	s.key, s.last = [2]int32{x >> 5, y >> 5}, new(tile)
	s.tiles[s.key] = s.last
	return s.at(x, y)
}

// lay adds the bead along the middle line from a to b; the other fields of its
// segments are those of like.
func (s *surface) lay(a, b r3.Vec, like segment, beside float64) {
	d := r3.Sub(b, a)
	length := r3.Norm(d)
	cut := func(u0, u1 float64) {
		mid := r3.Add(a, r3.Scale((u0+u1)/2, d))
		g := like
		g.a, g.d = narrow(r3.Add(a, r3.Scale(u0, d))), narrow(r3.Scale(u1-u0, d))
		g.reach = float32((u1-u0)/2*length) + g.flat + g.half
		s.made(cellOf(mid.X), cellOf(mid.Y)).add(&g, beside)
		s.top, s.out = max(s.top, float64(g.top())), max(s.out, float64(g.flat+g.half))
	}
	u := 0.0
	for u < 1 {
		next := min(1, nextBorder(a.X, d.X, u), nextBorder(a.Y, d.Y, u))
		cut(u, next)
		u = next
	}
}

// nextBorder returns the least parameter over u at which p + u d crosses a border
// of cells.
func nextBorder(p, d, u float64) float64 {
	const hair = 1e-9 // of a cell: a border that was just crossed isn't met again
	v := (p + u*d) / cellEdge
	switch {
	case d > 0:
		return (cellEdge*math.Floor(v+1+hair) - p) / d
	case d < 0:
		return (cellEdge*math.Ceil(v-1-hair) - p) / d
	}
	return math.Inf(1)
}

// add adds a segment. Where the cell is full, what is buried is dropped.
func (c *cell) add(g *segment, beside float64) {
	switch n := len(c.segments); {
	case cap(c.segments) == 0:
		c.segments, c.top, c.offset = make([]segment, 0, firstSegments), g.top(), math.Inf(-1)
		c.n = narrow(g.normal())
	case n == cap(c.segments):
		c.makeRoom(beside)
	}
	if r3.Dot(c.n.wide(), g.normal()) < sameShell {
		c.n, c.offset = narrow(g.normal()), math.Inf(-1)
		for i := range c.segments {
			c.lift(&c.segments[i])
		}
	}
	c.segments = append(c.segments, *g)
	c.top = max(c.top, g.top())
	c.lift(&c.segments[len(c.segments)-1])
}

// lift raises the cell's plane over a segment, the last of those that it lies over.
func (c *cell) lift(g *segment) {
	c.offset = max(c.offset, g.along(c.n.wide()))
	g.upTo = float32(c.offset) + hair
}

// hair is more than float32 rounds off on a printer, mm.
const hair = 1e-4

// from returns the first segment that isn't shown to lie under a plane of the
// cell's normal, nor do those before it.
func (c *cell) from(offset float64) int {
	i := len(c.segments)
	for i > 0 && float64(c.segments[i-1].upTo) > offset {
		i--
	}
	return i
}

// makeRoom drops what is buried. Where that is little the cell gets larger, or
// the oldest quarter is dropped too.
func (c *cell) makeRoom(beside float64) {
	n := len(c.segments)
	c.dropBuried(beside)
	switch left := len(c.segments); {
	case left <= n/2:
	case n < mostSegments:
		c.segments = append(make([]segment, 0, min(2*n, mostSegments)), c.segments...)
	case left > 3*n/4:
		c.segments = append(c.segments[:0], c.segments[left-3*n/4:]...)
	}
}

// dropBuried drops the segments that lie well under later ones.
func (c *cell) dropBuried(beside float64) {
	var middles [mostSegments]r3.Vec
	var heights [mostSegments]float64 // of the middles, along the cell's normal
	var later [mostSegments]float64   // the greatest height from a segment on
	n := c.n.wide()
	for i := len(c.segments) - 1; i >= 0; i-- {
		middles[i] = c.segments[i].middle()
		heights[i] = r3.Dot(middles[i], n)
		if later[i] = heights[i]; i+1 < len(c.segments) {
			later[i] = max(later[i], later[i+1])
		}
	}
	kept := c.segments[:0]
	for i, last := 0, len(c.segments)-1; i <= last; i++ {
		g := c.segments[i]
		// The cell's normal is nearly the segment's: most pairs are told apart by it.
		least := 2 * (buriedLeast - 1) * float64(g.half)
		k := last
		if later[i]-heights[i] < least {
			k = i
		}
		for ; k > i; k-- {
			up := heights[k] - heights[i]
			if up < least {
				continue
			}
			side := r3.Norm2(r3.Sub(middles[k], middles[i])) - up*up
			if near := beside + float64(c.segments[k].reach) + sameShellLean*up; side < near*near && c.segments[k].buries(middles[i], beside) {
				break
			}
		}
		if k == i {
			kept = append(kept, g)
		}
	}
	c.segments = kept
}

// buries reports whether a place lies well under the segment.
func (s *segment) buries(p r3.Vec, beside float64) bool {
	t := 2 * float64(s.half)
	w := window{at: p, normal: r3.Scale(-1, s.normal()), least: buriedLeast * t, most: buriedMost * t, beside: beside}
	return w.holds(s)
}
