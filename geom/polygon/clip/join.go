package clip

// join is a place where two contours may share an edge: from a and b, points at its
// lower end, toward off. Of a level edge the points may be anywhere on it.
type join struct {
	a, b *point
	off  Point
}

func (s *sweep) addJoin(a, b *point, off Point) {
	s.joins = append(s.joins, join{a, b, off})
}

// joinAll takes the shared edges out: two contours become one, or one becomes two.
func (s *sweep) joinAll() {
	for i := range s.joins {
		j := &s.joins[i]
		ca, cb := s.contourOf(j.a.index), s.contourOf(j.b.index)
		if ca.points == nil || cb.points == nil {
			continue
		}
		state := ca
		if ca != cb {
			state = s.holeState(ca, cb)
		}
		if !s.joinPoints(j, ca == cb) {
			continue
		}
		if ca == cb {
			s.split(ca, j)
			continue
		}
		cb.points, cb.bottom = nil, nil
		cb.index = ca.index
		ca.hole = state.hole
		if state == cb {
			ca.firstLeft = cb.firstLeft
		}
		cb.firstLeft = ca
	}
}

// split makes two contours of one whose ring was cut by a join.
func (s *sweep) split(c *contour, j *join) {
	c.points, c.bottom = j.a, nil
	n := s.newContour()
	n.points = j.b
	for p := n.points; ; {
		p.index = n.index
		if p = p.prev; p == n.points {
			break
		}
	}
	switch {
	case contains(n.points, c.points):
		n.hole = !c.hole
		n.firstLeft = c
		s.orient(n)
	case contains(c.points, n.points):
		n.hole = c.hole
		c.hole = !n.hole
		n.firstLeft = c.firstLeft
		c.firstLeft = n
		s.orient(c)
	default:
		n.hole, n.firstLeft = c.hole, c.firstLeft
	}
}

// joinPoints cuts both rings at the shared edge and links them crosswise. It
// reports whether there was one.
func (s *sweep) joinPoints(j *join, sameContour bool) bool {
	if j.a.at.Y == j.off.Y {
		return s.joinLevelPoints(j)
	}
	a, aBack, ok := sharedEnd(j.a, j.off)
	if !ok {
		return false
	}
	b, bBack, ok := sharedEnd(j.b, j.off)
	if !ok || a == j.a || b == j.b || a == b || sameContour && aBack == bBack {
		return false
	}
	p, q := j.a, j.b
	if aBack {
		a, b = s.twin(p, false), s.twin(q, true)
		link(q, p)
		link(a, b)
	} else {
		a, b = s.twin(p, true), s.twin(q, false)
		link(p, q)
		link(b, a)
	}
	j.a, j.b = p, a
	return true
}

// sharedEnd returns the neighbour of p that lies on the way up to off; back tells
// that it is the one before.
func sharedEnd(p *point, off Point) (q *point, back, ok bool) {
	onWay := func(q *point) bool { return q.at.Y <= p.at.Y && inLine(p.at, q.at, off) }
	if q = after(p); onWay(q) {
		return q, false, true
	}
	q = before(p)
	return q, true, onWay(q)
}

// twin adds a point at the same place beside p.
func (s *sweep) twin(p *point, behind bool) *point {
	t := s.points.one()
	t.at, t.index = p.at, p.index
	if behind {
		n := p.next
		link(t, n)
		link(p, t)
	} else {
		n := p.prev
		link(n, t)
		link(t, p)
	}
	return t
}

// joinLevelPoints is joinPoints for level edges.
func (s *sweep) joinLevelPoints(j *join) bool {
	a, b := j.a, j.b
	aEnd, bEnd := a, b
	for a.prev.at.Y == a.at.Y && a.prev != aEnd && a.prev != b {
		a = a.prev
	}
	for aEnd.next.at.Y == aEnd.at.Y && aEnd.next != a && aEnd.next != b {
		aEnd = aEnd.next
	}
	if aEnd.next == a || aEnd.next == b {
		return false // flat
	}
	for b.prev.at.Y == b.at.Y && b.prev != bEnd && b.prev != aEnd {
		b = b.prev
	}
	for bEnd.next.at.Y == bEnd.at.Y && bEnd.next != b && bEnd.next != a {
		bEnd = bEnd.next
	}
	if bEnd.next == b || bEnd.next == a {
		return false
	}
	lo := max(min(a.at.X, aEnd.at.X), min(b.at.X, bEnd.at.X))
	hi := min(max(a.at.X, aEnd.at.X), max(b.at.X, bEnd.at.X))
	if lo >= hi {
		return false
	}
	// Joining leaves a spike, on the side where no point is needed any more.
	within := func(p *point) bool { return p.at.X >= lo && p.at.X <= hi }
	var at Point
	var dropLeft bool
	switch {
	case within(a):
		at, dropLeft = a.at, a.at.X > aEnd.at.X
	case within(b):
		at, dropLeft = b.at, b.at.X > bEnd.at.X
	case within(aEnd):
		at, dropLeft = aEnd.at, aEnd.at.X > a.at.X
	default:
		at, dropLeft = bEnd.at, bEnd.at.X > b.at.X
	}
	j.a, j.b = a, b
	return s.linkLevel(a, aEnd, b, bEnd, at, dropLeft)
}

// linkLevel cuts two level stretches that run against each other at a place and
// links them crosswise.
func (s *sweep) linkLevel(a, aEnd, b, bEnd *point, at Point, dropLeft bool) bool {
	aRight, bRight := a.at.X <= aEnd.at.X, b.at.X <= bEnd.at.X
	if aRight == bRight {
		return false
	}
	a, aEnd = s.cutLevel(a, at, aRight, dropLeft)
	b, bEnd = s.cutLevel(b, at, bRight, dropLeft)
	if aRight == dropLeft {
		link(b, a)
		link(aEnd, bEnd)
	} else {
		link(a, b)
		link(bEnd, aEnd)
	}
	return true
}

// cutLevel makes two points of a level stretch at a place.
func (s *sweep) cutLevel(p *point, at Point, right, dropLeft bool) (kept, twin *point) {
	if right {
		for p.next.at.X <= at.X && p.next.at.X >= p.at.X && p.next.at.Y == at.Y {
			p = p.next
		}
	} else {
		for p.next.at.X >= at.X && p.next.at.X <= p.at.X && p.next.at.Y == at.Y {
			p = p.next
		}
	}
	if right == dropLeft && p.at.X != at.X {
		p = p.next
	}
	behind := right != dropLeft
	twin = s.twin(p, behind)
	if twin.at != at {
		p = twin
		p.at = at
		twin = s.twin(p, behind)
	}
	return p, twin
}

// contains reports whether the ring outer encloses the ring inner.
func contains(inner, outer *point) bool {
	for p := inner; ; {
		switch place(p.at, outer) {
		case inside:
			return true
		case outside:
			return false
		}
		if p = p.next; p == inner {
			return true
		}
	}
}

const (
	outside = iota
	inside
	onEdge
)

// place tells where a point lies of a ring (K. Hormann, A. Agathos, The point in
// polygon problem for arbitrary polygons, 2001).
func place(at Point, ring *point) int {
	in := outside
	a := ring.at
	for p := ring.next; ; p = p.next {
		b := p.at
		if b.Y == at.Y && (b.X == at.X || a.Y == at.Y && (b.X > at.X) == (a.X < at.X)) {
			return onEdge
		}
		if (a.Y < at.Y) != (b.Y < at.Y) && (a.X >= at.X || b.X > at.X) {
			if a.X >= at.X && b.X > at.X {
				in = inside - in
			} else {
				d := float64(a.X-at.X)*float64(b.Y-at.Y) - float64(b.X-at.X)*float64(a.Y-at.Y)
				if d == 0 {
					return onEdge
				}
				if (d > 0) == (b.Y > a.Y) {
					in = inside - in
				}
			}
		}
		if p == ring {
			return in
		}
		a = b
	}
}
