package clip

import "sync"

// sweep is the state of one run.
type sweep struct {
	op       Operation
	inside   filling
	reversed bool // outer contours turn the other way

	minima   []minimum
	next     int // of minima
	stops    heights
	active   *edge   // those on the sweep line, from the left
	sorted   *edge   // those being sorted, or level ones that wait
	turning  []*edge // that end at the sweep line, and go on
	crossed  []crossed
	contours []*contour
	joins    []join
	ghosts   []join // level edges that have just ended

	edges         slab[edge]
	points        slab[point]
	contourMemory slab[contour]
}

var sweeps = sync.Pool{New: func() any { return new(sweep) }}

// newSweep returns a sweep whose memory another one has used, if there is one.
func newSweep(op Operation, inside filling) *sweep {
	s := sweeps.Get().(*sweep)
	s.op, s.inside, s.reversed = op, inside, false
	s.minima, s.next, s.stops = s.minima[:0], 0, s.stops[:0]
	s.active, s.sorted = nil, nil
	s.turning, s.crossed, s.contours, s.joins, s.ghosts = s.turning[:0], s.crossed[:0], s.contours[:0], s.joins[:0], s.ghosts[:0]
	s.edges.reset()
	s.points.reset()
	s.contourMemory.reset()
	return s
}

// release hands the memory on. A sweep that panicked is never released.
func (s *sweep) release() { sweeps.Put(s) }

// run sweeps from the lowest height to the greatest.
func (s *sweep) run() bool {
	s.sortMinima()
	if len(s.minima) == 0 {
		return false
	}
	for i := range s.minima {
		s.stops.add(s.minima[i].y)
	}
	y := s.stops.next()
	for {
		s.insertMinima(y)
		s.ghosts = s.ghosts[:0]
		s.levelEdges(false)
		if len(s.stops) == 0 {
			break
		}
		y = s.stops.next()
		if !s.cross(y) {
			return false
		}
		s.top(y)
		if len(s.stops) == 0 && s.next == len(s.minima) {
			break
		}
	}
	for _, c := range s.contours {
		s.orient(c)
	}
	s.joinAll()
	for _, c := range s.contours {
		if c.points != nil {
			c.tidy()
		}
	}
	return true
}

// orient makes a contour turn as outer contours or holes do.
func (s *sweep) orient(c *contour) {
	if c.points != nil && (c.hole != s.reversed) == (c.area() > 0) {
		reverse(c.points)
	}
}

// result returns the contours, in memory of their own.
func (s *sweep) result() []Path {
	var out []Path
	for _, c := range s.contours {
		if c.points == nil {
			continue
		}
		last := c.points.prev
		n := 1
		for p := last.prev; p != last; p = p.prev {
			n++
		}
		if n < 2 {
			continue
		}
		path := make(Path, 0, n)
		for p := last; len(path) < n; p = p.prev {
			path = append(path, p.at)
		}
		out = append(out, path)
	}
	return out
}

// insertMinima begins the bounds whose lowest points lie at a height.
func (s *sweep) insertMinima(y int64) {
	for ; s.next < len(s.minima) && s.minima[s.next].y == y; s.next++ {
		l, r := s.minima[s.next].left, s.minima[s.next].right
		s.insert(l, nil)
		s.insert(r, l)
		s.wind(l)
		r.wind, r.wind2 = l.wind, l.wind2
		var p *point
		if s.contributes(l) {
			p = s.begin(l, r, l.bot)
		}
		s.stops.add(l.top.Y)
		if r.level() {
			s.addLevel(r)
		} else {
			s.stops.add(r.top.Y)
		}
		s.joinBelow(l, r, p)
		if l.right == r {
			continue
		}
		if r.out >= 0 && r.left.out >= 0 && parallel(r.left, r) {
			s.addJoin(p, s.addPoint(r.left, r.bot), r.top)
		}
		if l.right == nil {
			continue
		}
		for e := l.right; e != r; e = e.right {
			s.intersect(r, e, l.curr)
		}
	}
}

// joinBelow notes edges that a new bound shares with contours beside it.
func (s *sweep) joinBelow(l, r *edge, p *point) {
	if p != nil && r.level() {
		for i := range s.ghosts {
			if g := &s.ghosts[i]; overlap(g.a.at.X, g.off.X, r.bot.X, r.top.X) {
				s.addJoin(g.a, p, g.off)
			}
		}
	}
	if b := l.left; l.out >= 0 && b != nil && b.curr.X == l.bot.X && b.out >= 0 && parallel(b, l) {
		s.addJoin(p, s.addPoint(b, l.bot), l.top)
	}
}

// overlap reports whether two stretches have a length in common.
func overlap(a0, a1, b0, b1 int64) bool {
	return min(a0, a1) < max(b0, b1) && min(b0, b1) < max(a0, a1)
}

// insert puts an edge among the active ones, to the right of from.
func (s *sweep) insert(e, from *edge) {
	switch {
	case s.active == nil:
		e.left, e.right = nil, nil
		s.active = e
		return
	case from == nil && goesBefore(e, s.active):
		e.left, e.right = nil, s.active
		s.active.left = e
		s.active = e
		return
	case from == nil:
		from = s.active
	}
	for from.right != nil && !goesBefore(e, from.right) {
		from = from.right
	}
	e.right = from.right
	if from.right != nil {
		from.right.left = e
	}
	e.left, from.right = from, e
}

// goesBefore reports whether e lies to the left of another edge.
func goesBefore(e, other *edge) bool {
	if e.curr.X != other.curr.X {
		return e.curr.X < other.curr.X
	}
	if e.top.Y > other.top.Y {
		return e.top.X < other.topX(e.top.Y)
	}
	return other.top.X > e.topX(other.top.Y)
}

// remove takes an edge off the sweep line.
func (s *sweep) remove(e *edge) {
	l, r := e.left, e.right
	if l == nil && r == nil && e != s.active {
		return
	}
	if l != nil {
		l.right = r
	} else {
		s.active = r
	}
	if r != nil {
		r.left = l
	}
	e.left, e.right = nil, nil
}

// raise replaces an edge that ends by the next one of its bound.
func (s *sweep) raise(e *edge) *edge {
	u, l, r := e.upper, e.left, e.right
	u.out, u.isLeft, u.winds, u.wind, u.wind2 = e.out, e.isLeft, e.winds, e.wind, e.wind2
	if l != nil {
		l.right = u
	} else {
		s.active = u
	}
	if r != nil {
		r.left = u
	}
	u.curr, u.left, u.right = u.bot, l, r
	if !u.level() {
		s.stops.add(u.top.Y)
	}
	return u
}

// swap changes the places of two active edges.
func (s *sweep) swap(a, b *edge) {
	if a.right == a.left || b.right == b.left {
		return // one has been removed
	}
	switch {
	case a.right == b:
		swapNeighbours(a, b)
	case b.right == a:
		swapNeighbours(b, a)
	default:
		a.right, b.right = b.right, a.right
		a.left, b.left = b.left, a.left
		for _, e := range [2]*edge{a, b} {
			if e.right != nil {
				e.right.left = e
			}
			if e.left != nil {
				e.left.right = e
			}
		}
	}
	if a.left == nil {
		s.active = a
	} else if b.left == nil {
		s.active = b
	}
}

func swapNeighbours(l, r *edge) {
	right, left := r.right, l.left
	if right != nil {
		right.left = l
	}
	if left != nil {
		left.right = r
	}
	r.left, r.right = left, l
	l.left, l.right = r, right
}
