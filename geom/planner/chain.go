package planner

import (
	"slices"
	"sort"

	"gonum.org/v1/gonum/spatial/r2"
)

// stretch is a path to become a bead.
type stretch struct {
	path   []r2.Vec
	closed bool
}

func (f *family) bead(s stretch, kind Kind, o *Options) Bead {
	b := Bead{Path: s.path, Closed: s.closed, Kind: kind}
	if f.width != 0 && f.width != o.Pitch {
		b.Width = make([]float64, len(s.path))
		for i := range b.Width {
			b.Width[i] = f.width
		}
	}
	return b
}

// strokes returns all strokes by themselves.
func (c *clipped) strokes() []stretch {
	out := make([]stretch, 0, len(c.list))
	for _, s := range c.list {
		out = append(out, stretch{s.path, s.closed})
	}
	return out
}

// chains winds strokes to and fro into long beads, linked along the region's
// edge. Each stroke loses about half a pitch at both ends against the area it
// stands for, and each link gives a pitch back, so the volume comes out right
// whatever the angle between strokes and edge.
//
// A contour passes the curves in order; from curve k to k + 1 (or back) its
// stretch becomes a link where k is even on one side and odd on the other. So
// no end is linked twice, and a chain only ever climbs: it can't bite its tail.
func (c *clipped) chains() []stretch {
	links := c.links()
	started := make([]bool, len(c.list))
	var out []stretch
	for s := range c.list {
		if c.list[s].closed {
			out = append(out, stretch{c.list[s].path, true})
			continue
		}
		if started[s] || c.hasLower(s, links) {
			continue
		}
		out = append(out, c.chainFrom(s, links, started))
	}
	return out
}

// link leads from one crossing to another along a contour.
type link struct {
	to   int
	path []r2.Vec // vertices between the two
}

// links maps a crossing to its link, in both directions.
func (c *clipped) links() map[int]link {
	order := make([]int, 0, len(c.cross))
	for i := range c.cross {
		if c.cross[i].stroke >= 0 {
			order = append(order, i)
		}
	}
	sort.Slice(order, func(i, j int) bool {
		a, b := &c.cross[order[i]], &c.cross[order[j]]
		if a.contour != b.contour {
			return a.contour < b.contour
		}
		if a.pos != b.pos {
			return a.pos < b.pos
		}
		return order[i] < order[j]
	})
	links := make(map[int]link)
	for i := 0; i < len(order); {
		j := i
		for j < len(order) && c.cross[order[j]].contour == c.cross[order[i]].contour {
			j++
		}
		ring := order[i:j]
		for x, a := range ring {
			if b := ring[next(x, len(ring))]; c.linked(a, b) {
				path := between(c.region[c.cross[a].contour], c.cross[a].pos, c.cross[b].pos)
				links[a] = link{b, path}
				back := slices.Clone(path)
				slices.Reverse(back)
				links[b] = link{a, back}
			}
		}
		i = j
	}
	return links
}

// linked decides whether the contour from crossing a to b becomes a link.
func (c *clipped) linked(a, b int) bool {
	ka, kb := c.cross[a].k, c.cross[b].k
	if c.cross[a].enters != c.cross[b].enters {
		return false
	}
	return kb == ka+1 && ka%2 == 0 || kb == ka-1 && kb%2 != 0
}

// between lists the vertices of a contour from one position on to another.
func between(contour []r2.Vec, from, to float64) []r2.Vec {
	n := len(contour)
	first, last := int(from)+1, int(to)
	if to < from {
		last += n
	}
	var out []r2.Vec
	for i := first; i <= last; i++ {
		out = append(out, contour[i%n])
	}
	return out
}

// hasLower reports whether stroke s is linked to one on a curve below its own.
func (c *clipped) hasLower(s int, links map[int]link) bool {
	for _, end := range []int{c.list[s].from, c.list[s].to} {
		if l, ok := links[end]; ok && c.cross[l.to].k < c.list[s].k {
			return true
		}
	}
	return false
}

// chainFrom follows links upward from stroke s, which has none downward.
func (c *clipped) chainFrom(s int, links map[int]link, started []bool) stretch {
	var path []r2.Vec
	forward := true
	if _, ok := links[c.list[s].from]; ok {
		forward = false
	}
	for {
		started[s] = true
		piece := slices.Clone(c.list[s].path)
		end := c.list[s].to
		if !forward {
			slices.Reverse(piece)
			end = c.list[s].from
		}
		path = append(path, piece...)
		l, ok := links[end]
		if !ok {
			return stretch{path: path}
		}
		path = append(path, l.path...)
		s = c.cross[l.to].stroke
		forward = c.list[s].from == l.to
	}
}
