package planner

import (
	"slices"
	"sort"

	"gonum.org/v1/gonum/spatial/r2"

	"conewright/geom/polygon"
)

// stretch is a path to become a bead.
type stretch struct {
	path   []r2.Vec
	width  []float64 // at each point; nil: the family's
	closed bool
}

func (f *family) bead(s stretch, kind Kind, o *Options) Bead {
	b := Bead{Path: s.path, Closed: s.closed, Kind: kind, Width: s.width}
	if s.width == nil && f.width != 0 && f.width != o.Pitch {
		b.Width = constant(f.width, len(s.path))
	}
	return b
}

func constant(v float64, n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = v
	}
	return out
}

// strokes returns all strokes by themselves.
func (c *clipped) strokes() []stretch {
	out := make([]stretch, 0, len(c.list))
	for _, s := range c.list {
		out = append(out, stretch{path: s.path, closed: s.closed})
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
	rounds := c.rounds()
	links := c.links(rounds)
	tails, out := c.edges(rounds, links)
	started := make([]bool, len(c.list))
	for s := range c.list {
		if c.list[s].closed {
			out = append(out, stretch{path: c.list[s].path, closed: true})
			continue
		}
		if started[s] || c.hasLower(s, links) {
			continue
		}
		out = append(out, c.chainFrom(s, links, tails, started))
	}
	return out
}

// link leads from one crossing to another along a contour.
type link struct {
	to   int
	path []r2.Vec // vertices between the two
}

// rounds lists the crossings of each contour in its order.
func (c *clipped) rounds() [][]int {
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
	var rounds [][]int
	for i := 0; i < len(order); {
		j := i
		for j < len(order) && c.cross[order[j]].contour == c.cross[order[i]].contour {
			j++
		}
		rounds = append(rounds, order[i:j])
		i = j
	}
	return rounds
}

// links maps a crossing to its link, in both directions.
func (c *clipped) links(rounds [][]int) map[int]link {
	links := make(map[int]link)
	for _, round := range rounds {
		for x, a := range round {
			b := round[polygon.Next(x, len(round))]
			if !c.linked(a, b) {
				continue
			}
			path := between(c.region[c.cross[a].contour], c.cross[a].pos, c.cross[b].pos)
			if polygon.PathLength(append([]r2.Vec{c.cross[a].at}, append(path, c.cross[b].at)...), false) >= steepArc*c.family.spacing {
				continue // edge beads do better there
			}
			links[a] = link{b, path}
			back := slices.Clone(path)
			slices.Reverse(back)
			links[b] = link{a, back}
		}
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

// chainFrom follows links upward from stroke s, which has none downward, with
// the tails at both ends.
func (c *clipped) chainFrom(s int, links map[int]link, tails map[int]stretch, started []bool) stretch {
	forward := true
	begin := c.list[s].from
	if _, ok := links[begin]; ok {
		forward = false
		begin = c.list[s].to
	}
	var out stretch
	if t, ok := tails[begin]; ok {
		out.path, out.width = slices.Clone(t.path), slices.Clone(t.width)
		slices.Reverse(out.path)
		slices.Reverse(out.width)
	}
	for {
		started[s] = true
		piece := slices.Clone(c.list[s].path)
		end := c.list[s].to
		if !forward {
			slices.Reverse(piece)
			end = c.list[s].from
		}
		out.path = append(out.path, piece...)
		l, ok := links[end]
		if !ok {
			c.close(&out, tails[end])
			return out
		}
		out.path = append(out.path, l.path...)
		s = c.cross[l.to].stroke
		forward = c.list[s].from == l.to
	}
}

// close ends a chain with its tail and fills in the widths.
func (c *clipped) close(s *stretch, tail stretch) {
	if s.width == nil && tail.path == nil {
		return
	}
	s.width = append(s.width, constant(c.family.spacing, len(s.path)-len(s.width))...)
	s.path = append(s.path, tail.path...)
	s.width = append(s.width, tail.width...)
}
