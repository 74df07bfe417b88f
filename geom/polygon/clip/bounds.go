package clip

import (
	"cmp"
	"slices"
)

// minimum is where two bounds begin: edges that go up from a lowest point, one
// after the other.
type minimum struct {
	y           int64
	left, right *edge
}

// add adds contours to the subject or to the clip area.
func (s *sweep) add(paths []Path, clip bool) {
	for _, p := range paths {
		s.addPath(p, clip)
	}
}

// addPath adds a contour. Repeated points, points on straight lines, and contours
// without height are left out.
func (s *sweep) addPath(p Path, clip bool) {
	if len(p) < 3 {
		return
	}
	e := joined(s.edges.take(len(p)), p)
	start := cleaned(e)
	if start == nil {
		return
	}
	flat := true
	for e = start; ; {
		e.init(clip)
		e = e.next
		flat = flat && e.curr.Y == start.curr.Y
		if e == start {
			break
		}
	}
	if !flat {
		s.addBounds(e)
	}
}

// joined makes a ring of edges; returns the first.
func joined(edges []edge, p Path) *edge {
	n := len(p)
	for i := range edges {
		e := &edges[i]
		e.curr, e.out = p[i], none
		e.next, e.prev = &edges[(i+1)%n], &edges[(i+n-1)%n]
	}
	return &edges[0]
}

// cleaned takes out repeated points and points on straight lines. It returns nil
// where less than a triangle is left.
func cleaned(start *edge) *edge {
	e, stop := start, start
	for {
		if e.curr == e.next.curr {
			if e == e.next {
				break
			}
			if e == start {
				start = e.next
			}
			e = e.unlink()
			stop = e
			continue
		}
		if e.prev == e.next {
			break
		}
		if inLine(e.prev.curr, e.curr, e.next.curr) {
			if e == start {
				start = e.next
			}
			e = e.unlink().prev
			stop = e
			continue
		}
		if e = e.next; e == stop {
			break
		}
	}
	if e.prev == e.next {
		return nil
	}
	return start
}

// addBounds finds the lowest points of a ring and the bounds from there.
func (s *sweep) addBounds(e *edge) {
	var first *edge
	for {
		e = nextLowest(e)
		switch {
		case e == first:
			return
		case first == nil:
			first = e
		}
		m := minimum{y: e.bot.Y}
		forward := e.dx >= e.prev.dx // the left bound follows the ring
		if forward {
			m.left, m.right = e, e.prev
		} else {
			m.left, m.right = e.prev, e
		}
		m.left.isLeft, m.right.isLeft = true, false
		m.left.winds = 1
		if m.left.next == m.right {
			m.left.winds = -1
		}
		m.right.winds = -m.left.winds
		var end *edge
		if forward {
			end = boundForward(m.left)
			boundBackward(m.right)
		} else {
			boundBackward(m.left)
			end = boundForward(m.right)
		}
		s.minima = append(s.minima, m)
		e = end
	}
}

// nextLowest goes on along the ring to an edge that shares a lowest point with the
// one before it; with level ones, to the left end.
func nextLowest(e *edge) *edge {
	for {
		for e.bot != e.prev.bot || e.curr == e.top {
			e = e.next
		}
		if e.dx != horizontal && e.prev.dx != horizontal {
			return e
		}
		for e.prev.dx == horizontal {
			e = e.prev
		}
		begin := e
		for e.dx == horizontal {
			e = e.next
		}
		if e.top.Y == e.prev.bot.Y {
			continue // level edges half way up
		}
		if begin.prev.bot.X < e.bot.X {
			e = begin
		}
		return e
	}
}

// boundForward chains the edges of a bound that follows the ring and returns the
// edge after it. Level edges at its top belong to it only where the edge before
// them meets their left end.
func boundForward(e *edge) *edge {
	start := e
	if e.dx == horizontal {
		x := e.prev.top.X
		if e.prev.bot.Y == e.bot.Y {
			x = e.prev.bot.X
		}
		if e.bot.X != x {
			e.flip()
		}
	}
	last := e
	for last.top.Y == last.next.bot.Y {
		last = last.next
	}
	if last.dx == horizontal {
		h := last
		for h.prev.dx == horizontal {
			h = h.prev
		}
		if h.prev.top.X > last.next.top.X {
			last = h.prev
		}
	}
	for {
		if e.dx == horizontal && e != start && e.bot.X != e.prev.top.X {
			e.flip()
		}
		if e == last {
			return last.next
		}
		e.upper = e.next
		e = e.next
	}
}

// boundBackward is boundForward against the ring.
func boundBackward(e *edge) *edge {
	start := e
	if e.dx == horizontal {
		x := e.next.top.X
		if e.next.bot.Y == e.bot.Y {
			x = e.next.bot.X
		}
		if e.bot.X != x {
			e.flip()
		}
	}
	last := e
	for last.top.Y == last.prev.bot.Y {
		last = last.prev
	}
	if last.dx == horizontal {
		h := last
		for h.next.dx == horizontal {
			h = h.next
		}
		if h.next.top.X >= last.prev.top.X {
			last = h.next
		}
	}
	for {
		if e.dx == horizontal && e != start && e.bot.X != e.next.top.X {
			e.flip()
		}
		if e == last {
			return last.prev
		}
		e.upper = e.prev
		e = e.prev
	}
}

// sortMinima puts the lowest first, of equal ones the last added.
func (s *sweep) sortMinima() {
	slices.Reverse(s.minima)
	slices.SortStableFunc(s.minima, func(a, b minimum) int { return cmp.Compare(b.y, a.y) })
	for i := range s.minima {
		m := &s.minima[i]
		m.left.curr, m.left.isLeft, m.left.out = m.left.bot, true, none
		m.right.curr, m.right.isLeft, m.right.out = m.right.bot, false, none
	}
}
