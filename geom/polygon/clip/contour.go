package clip

import "math"

// contour is one of the result while it grows. Two that meet become one: then the
// other's index leads to it.
type contour struct {
	index     int32
	hole      bool
	firstLeft *contour // next to its left where it began
	points    *point   // the leftmost; its prev is the rightmost; nil: merged or empty
	bottom    *point   // found when asked for
}

// point is a corner of a contour, in a ring.
type point struct {
	at         Point
	index      int32 // of its contour
	next, prev *point
}

func (s *sweep) newContour() *contour {
	c := s.contourMemory.one()
	c.index = int32(len(s.contours))
	s.contours = append(s.contours, c)
	return c
}

// contourOf returns the contour that the one of an index has become.
func (s *sweep) contourOf(index int32) *contour {
	c := s.contours[index]
	for c != s.contours[c.index] {
		c = s.contours[c.index]
	}
	return c
}

// addPoint adds a point to the contour that an edge makes, and begins one where it
// makes none.
func (s *sweep) addPoint(e *edge, at Point) *point {
	if e.out < 0 {
		c := s.newContour()
		p := s.points.one()
		p.at, p.index, p.next, p.prev = at, c.index, p, p
		c.points = p
		s.setHole(e, c)
		e.out = c.index
		return p
	}
	c := s.contours[e.out]
	first := c.points
	switch {
	case e.isLeft && at == first.at:
		return first
	case !e.isLeft && at == first.prev.at:
		return first.prev
	}
	p := s.points.one()
	p.at, p.index, p.next, p.prev = at, c.index, first, first.prev
	p.prev.next, first.prev = p, p
	if e.isLeft {
		c.points = p
	}
	return p
}

// setHole tells by the contours to the left whether a new one is a hole.
func (s *sweep) setHole(e *edge, c *contour) {
	for l := e.left; l != nil; l = l.left {
		if l.out < 0 {
			continue
		}
		c.hole = !c.hole
		if c.firstLeft == nil {
			c.firstLeft = s.contours[l.out]
		}
	}
}

// begin starts a contour where two edges diverge.
func (s *sweep) begin(a, b *edge, at Point) *point {
	e, other := b, a
	if b.level() || a.dx > b.dx {
		e, other = a, b
	}
	p := s.addPoint(e, at)
	other.out = e.out
	e.isLeft, other.isLeft = true, false
	before := e.left
	if before == other {
		before = other.left
	}
	if before != nil && before.out >= 0 && before.topX(at.Y) == e.topX(at.Y) && parallel(e, before) {
		s.addJoin(p, s.addPoint(before, at), e.top)
	}
	return p
}

// end closes a contour where two edges meet, or joins the contours of both.
func (s *sweep) end(a, b *edge, at Point) {
	s.addPoint(a, at)
	switch {
	case a.out == b.out:
		a.out, b.out = none, none
	case a.out < b.out:
		s.merge(a, b)
	default:
		s.merge(b, a)
	}
}

// merge joins the contour of b onto that of a.
func (s *sweep) merge(a, b *edge) {
	ca, cb := s.contours[a.out], s.contours[b.out]
	state := s.holeState(ca, cb)
	aLeft, bLeft := ca.points, cb.points
	aRight, bRight := aLeft.prev, bLeft.prev
	switch {
	case a.isLeft && b.isLeft:
		reverse(bLeft)
		link(bLeft, aLeft)
		link(aRight, bRight)
		ca.points = bRight
	case a.isLeft:
		link(bRight, aLeft)
		link(aRight, bLeft)
		ca.points = bLeft
	case !b.isLeft:
		reverse(bLeft)
		link(aRight, bRight)
		link(bLeft, aLeft)
	default:
		link(aRight, bLeft)
		link(bRight, aLeft)
	}
	ca.bottom = nil
	if state == cb {
		if cb.firstLeft != ca {
			ca.firstLeft = cb.firstLeft
		}
		ca.hole = cb.hole
	}
	cb.points, cb.bottom = nil, nil
	cb.firstLeft = ca

	kept, gone, side := a.out, b.out, a.isLeft
	a.out, b.out = none, none
	for e := s.active; e != nil; e = e.right {
		if e.out == gone {
			e.out, e.isLeft = kept, side
			break
		}
	}
	cb.index = ca.index
}

func link(a, b *point) { a.next, b.prev = b, a }

// holeState returns which of two contours that meet knows whether both are a hole.
func (s *sweep) holeState(a, b *contour) *contour {
	switch {
	case rightOf(a, b):
		return b
	case rightOf(b, a):
		return a
	}
	return lowest(a, b)
}

// rightOf reports whether a began somewhere to the right of b.
func rightOf(a, b *contour) bool {
	for a = a.firstLeft; a != nil; a = a.firstLeft {
		if a == b {
			return true
		}
	}
	return false
}

// reverse turns the direction of a ring.
func reverse(p *point) {
	if p == nil {
		return
	}
	for q := p; ; {
		q.next, q.prev = q.prev, q.next
		if q = q.prev; q == p {
			return
		}
	}
}

// lowest returns the contour that reaches further down.
func lowest(a, b *contour) *contour {
	if a.bottom == nil {
		a.bottom = bottomOf(a.points)
	}
	if b.bottom == nil {
		b.bottom = bottomOf(b.points)
	}
	p, q := a.bottom, b.bottom
	switch {
	case p.at.Y > q.at.Y:
		return a
	case p.at.Y < q.at.Y:
		return b
	case p.at.X < q.at.X:
		return a
	case p.at.X > q.at.X:
		return b
	case p.next == p:
		return b
	case q.next == q:
		return a
	case firstAtBottom(p, q):
		return a
	}
	return b
}

// bottomOf returns the lowest point of a ring, of equal ones the leftmost.
func bottomOf(best *point) *point {
	var twin *point // at the same place
	p := best.next
	for ; p != best; p = p.next {
		switch {
		case p.at.Y > best.at.Y:
			best, twin = p, nil
		case p.at.Y == best.at.Y && p.at.X <= best.at.X:
			if p.at.X < best.at.X {
				best, twin = p, nil
			} else if p.next != best && p.prev != best {
				twin = p
			}
		}
	}
	if twin == nil {
		return best
	}
	for twin != p {
		if !firstAtBottom(p, twin) {
			best = twin
		}
		for twin = twin.next; twin.at != best.at; {
			twin = twin.next
		}
	}
	return best
}

// firstAtBottom reports whether p's edges lie outside those of q, a point at the
// same place.
func firstAtBottom(p, q *point) bool {
	pp, pn := flatness(p, before(p)), flatness(p, after(p))
	qp, qn := flatness(q, before(q)), flatness(q, after(q))
	return pp >= qp && pp >= qn || pn >= qp && pn >= qn
}

// before and after return the next point of a ring at another place.
func before(p *point) *point {
	q := p.prev
	for q.at == p.at && q != p {
		q = q.prev
	}
	return q
}

func after(p *point) *point {
	q := p.next
	for q.at == p.at && q != p {
		q = q.next
	}
	return q
}

func flatness(p, q *point) float64 {
	if p.at.Y == q.at.Y {
		return math.Inf(1)
	}
	return math.Abs(float64(q.at.X-p.at.X) / float64(q.at.Y-p.at.Y))
}

// area is positive or negative as the contour turns.
func (c *contour) area() float64 {
	if c.points == nil {
		return 0
	}
	a := 0.0
	for p := c.points; ; {
		a += float64(p.prev.at.X+p.at.X) * float64(p.prev.at.Y-p.at.Y)
		if p = p.next; p == c.points {
			return a * 0.5
		}
	}
}

// tidy takes out repeated points and points on straight lines.
func (c *contour) tidy() {
	c.bottom = nil
	var last *point
	p := c.points
	for {
		if p.prev == p || p.prev == p.next {
			c.points = nil
			return
		}
		if p.at == p.next.at || p.at == p.prev.at || inLine(p.prev.at, p.at, p.next.at) {
			last = nil
			link(p.prev, p.next)
			p = p.prev
			continue
		}
		if p == last {
			break
		}
		if last == nil {
			last = p
		}
		p = p.next
	}
	c.points = p
}
