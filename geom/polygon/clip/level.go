package clip

// addLevel notes a level edge for levelEdges.
func (s *sweep) addLevel(e *edge) {
	e.prevSort, e.nextSort = nil, s.sorted
	if s.sorted != nil {
		s.sorted.prevSort = e
	}
	s.sorted = e
}

// levelEdges follows the level edges at the sweep line.
func (s *sweep) levelEdges(atTop bool) {
	for e := s.sorted; e != nil; e = s.sorted {
		s.dropSorted(e)
		s.levelEdge(e, atTop)
	}
}

func (s *sweep) dropSorted(e *edge) {
	p, n := e.prevSort, e.nextSort
	if p == nil && n == nil && e != s.sorted {
		return
	}
	if p != nil {
		p.nextSort = n
	} else {
		s.sorted = n
	}
	if n != nil {
		n.prevSort = p
	}
	e.prevSort, e.nextSort = nil, nil
}

// levelEdge crosses all that a level edge meets, and goes on with the edge after
// it.
func (s *sweep) levelEdge(e *edge, atTop bool) {
	last := e
	for last.upper != nil && last.upper.level() {
		last = last.upper
	}
	var pair *edge
	if last.upper == nil {
		pair = maximumPair(last)
	}
	for {
		if s.alongLevel(e, pair, e == last) {
			return
		}
		if e.upper == nil || !e.upper.level() {
			break
		}
		e = s.raise(e)
		if e.out >= 0 {
			s.addPoint(e, e.bot)
		}
	}
	switch {
	case e.upper == nil:
		if e.out >= 0 {
			s.addPoint(e, e.top)
		}
		s.remove(e)
	case e.out < 0:
		s.raise(e)
	default:
		s.leaveLevel(e, atTop)
	}
}

// alongLevel crosses the edges that a level edge meets. ended tells that it met
// the one that ends with it.
func (s *sweep) alongLevel(e, pair *edge, isLast bool) (ended bool) {
	rightward := e.bot.X < e.top.X
	lo, hi := min(e.bot.X, e.top.X), max(e.bot.X, e.top.X)
	for n := e.neighbour(rightward); n != nil; {
		if n.curr.X == e.top.X && e.upper != nil && n.dx < e.upper.dx {
			break
		}
		after := n.neighbour(rightward)
		if rightward && n.curr.X > hi || !rightward && n.curr.X < lo {
			break
		}
		if n == pair && isLast {
			s.endLevel(e, pair)
			return true
		}
		at := Point{n.curr.X, e.curr.Y}
		if rightward {
			s.intersect(e, n, at)
		} else {
			s.intersect(n, e, at)
		}
		s.swap(e, n)
		n = after
	}
	return false
}

func (e *edge) neighbour(rightward bool) *edge {
	if rightward {
		return e.right
	}
	return e.left
}

// endLevel ends two bounds in the end of a level edge.
func (s *sweep) endLevel(e, pair *edge) {
	if e.out >= 0 {
		p := s.addPoint(e, e.top)
		for n := s.sorted; n != nil; n = n.nextSort {
			if n.out >= 0 && overlap(e.bot.X, e.top.X, n.bot.X, n.top.X) {
				s.addJoin(s.addPoint(n, n.bot), p, n.top)
			}
		}
		s.ghosts = append(s.ghosts, join{a: p, off: e.bot})
		s.end(e, pair, e.top)
	}
	s.remove(e)
	s.remove(pair)
}

// leaveLevel goes on with the edge after a level one, and notes an edge that it
// shares.
func (s *sweep) leaveLevel(e *edge, atTop bool) {
	p := s.addPoint(e, e.top)
	if atTop {
		s.ghosts = append(s.ghosts, join{a: p, off: e.bot})
	}
	e = s.raise(e)
	for _, n := range [2]*edge{e.left, e.right} {
		if n != nil && shares(e, n) {
			s.addJoin(p, s.addPoint(n, e.bot), e.top)
			break
		}
	}
}
