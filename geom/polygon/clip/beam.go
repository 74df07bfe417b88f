package clip

import "sort"

// crossed is a crossing of two edges.
type crossed struct {
	a, b *edge
	at   Point
}

// byHeight sorts crossings, the lowest first.
type byHeight []crossed

func (c byHeight) Len() int           { return len(c) }
func (c byHeight) Less(i, j int) bool { return c[i].at.Y > c[j].at.Y }
func (c byHeight) Swap(i, j int)      { c[i], c[j] = c[j], c[i] }

// cross carries out the crossings up to the height y. It fails where they can't be
// put in an order of neighbours.
func (s *sweep) cross(y int64) bool {
	if s.advance(y) {
		return true // nothing crosses
	}
	s.findCrossings()
	if len(s.crossed) > 1 && !s.orderCrossings() {
		return false
	}
	for i := range s.crossed {
		c := &s.crossed[i]
		s.intersect(c.a, c.b, c.at)
		s.swap(c.a, c.b)
	}
	s.crossed = s.crossed[:0]
	s.sorted = nil
	return true
}

// advance sets the places of the active edges at the height y and reports whether
// they are still in order.
func (s *sweep) advance(y int64) (ordered bool) {
	ordered = true
	var last *edge
	for e := s.active; e != nil; e = e.right {
		e.curr.X = e.topX(y)
		if last != nil && last.curr.X > e.curr.X {
			ordered = false
		}
		last = e
	}
	return ordered
}

// copyToSort lists the active edges for sorting.
func (s *sweep) copyToSort() {
	s.sorted = s.active
	for e := s.active; e != nil; e = e.right {
		e.prevSort, e.nextSort = e.left, e.right
	}
}

// findCrossings sorts the edges by their places at the next height: each swap of
// neighbours (bubble sort) is a crossing.
func (s *sweep) findCrossings() {
	s.copyToSort()
	for modified := true; modified && s.sorted != nil; {
		modified = false
		e := s.sorted
		for e.nextSort != nil {
			n := e.nextSort
			if e.curr.X <= n.curr.X {
				e = n
				continue
			}
			s.crossed = append(s.crossed, crossed{e, n, crossing(e, n)})
			s.swapSorted(e, n)
			modified = true
		}
		if e.prevSort == nil {
			break
		}
		e.prevSort.nextSort = nil
	}
	s.sorted = nil
}

// orderCrossings puts the crossings in an order, from below, in which the edges of
// each are neighbours.
func (s *sweep) orderCrossings() bool {
	sort.Sort(byHeight(s.crossed))
	s.copyToSort()
	for i := range s.crossed {
		j := i
		for j < len(s.crossed) && !s.crossed[j].neighbours() {
			j++
		}
		if j == len(s.crossed) {
			return false
		}
		s.crossed[i], s.crossed[j] = s.crossed[j], s.crossed[i]
		s.swapSorted(s.crossed[i].a, s.crossed[i].b)
	}
	return true
}

func (c *crossed) neighbours() bool { return c.a.nextSort == c.b || c.a.prevSort == c.b }

// swapSorted changes the places of two edges in the list that is sorted.
func (s *sweep) swapSorted(a, b *edge) {
	if a.nextSort == nil && a.prevSort == nil || b.nextSort == nil && b.prevSort == nil {
		return
	}
	switch {
	case a.nextSort == b:
		swapSortedNeighbours(a, b)
	case b.nextSort == a:
		swapSortedNeighbours(b, a)
	default:
		a.nextSort, b.nextSort = b.nextSort, a.nextSort
		a.prevSort, b.prevSort = b.prevSort, a.prevSort
		for _, e := range [2]*edge{a, b} {
			if e.nextSort != nil {
				e.nextSort.prevSort = e
			}
			if e.prevSort != nil {
				e.prevSort.nextSort = e
			}
		}
	}
	if a.prevSort == nil {
		s.sorted = a
	} else if b.prevSort == nil {
		s.sorted = b
	}
}

func swapSortedNeighbours(l, r *edge) {
	next, prev := r.nextSort, l.prevSort
	if next != nil {
		next.prevSort = l
	}
	if prev != nil {
		prev.nextSort = r
	}
	r.prevSort, r.nextSort = prev, l
	l.prevSort, l.nextSort = r, next
}

// top ends, or replaces by the next of their bounds, the edges that reach up to the
// height y.
func (s *sweep) top(y int64) {
	for e := s.active; e != nil; {
		if e.top.Y == y && e.upper == nil {
			if pair := maximumPair(e); pair == nil || !pair.level() {
				l := e.left
				s.maximum(e)
				if e = s.active; l != nil {
					e = l.right
				}
				continue
			}
		}
		if e.top.Y == y && e.upper != nil && e.upper.level() {
			e = s.raise(e)
			if e.out >= 0 {
				s.addPoint(e, e.bot)
			}
			s.addLevel(e)
		} else {
			e.curr.Y = y // advance has set X
			if e.top.Y == y && e.upper != nil {
				s.turning = append(s.turning, e)
			}
		}
		e = e.right
	}
	s.turnAll(y)
}

// turnAll goes on with the next edges of the bounds that reach up to the height y,
// from the left. Only level edges change the order in which top found them.
func (s *sweep) turnAll(y int64) {
	if s.sorted == nil {
		for _, e := range s.turning {
			s.turn(e)
		}
	} else {
		s.levelEdges(true)
		for e := s.active; e != nil; e = e.right {
			if e.top.Y == y && e.upper != nil {
				e = s.turn(e)
			}
		}
	}
	s.turning = s.turning[:0]
}

// turn goes on with the next edge of a bound, and notes an edge that it shares.
func (s *sweep) turn(e *edge) *edge {
	var p *point
	if e.out >= 0 {
		p = s.addPoint(e, e.top)
	}
	e = s.raise(e)
	if p == nil {
		return e
	}
	for _, n := range [2]*edge{e.left, e.right} {
		if n != nil && shares(e, n) {
			s.addJoin(p, s.addPoint(n, e.bot), e.top)
			break
		}
	}
	return e
}

// shares reports whether an edge that begins runs along a neighbour that makes a
// contour.
func shares(e, n *edge) bool {
	return n.curr == e.bot && n.out >= 0 && n.curr.Y > n.top.Y && parallel(e, n)
}

// maximumPair returns the edge that ends with e in a highest point.
func maximumPair(e *edge) *edge {
	for _, n := range [2]*edge{e.next, e.prev} {
		if n.top == e.top && n.upper == nil {
			if n.right == n.left && !n.level() {
				return nil
			}
			return n
		}
	}
	return nil
}

// maximum ends two bounds in their highest point.
func (s *sweep) maximum(e *edge) {
	pair := maximumPair(e)
	if pair == nil {
		if e.out >= 0 {
			s.addPoint(e, e.top)
		}
		s.remove(e)
		return
	}
	for n := e.right; n != nil && n != pair; n = e.right {
		s.intersect(e, n, e.top)
		s.swap(e, n)
	}
	switch {
	case e.out >= 0 && pair.out >= 0:
		s.end(e, pair, e.top)
	case e.out >= 0 || pair.out >= 0:
		panic("clip: only one of two edges that end together bounds the result")
	}
	s.remove(e)
	s.remove(pair)
}
