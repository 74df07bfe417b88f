package clip

// contributes reports whether an edge that begins bounds the result.
func (s *sweep) contributes(e *edge) bool {
	if count(s.inside, e.wind) != 1 {
		return false
	}
	other := count(s.inside, e.wind2) > 0 // inside the other area
	switch s.op {
	case Intersection:
		return other
	case Union:
		return !other
	}
	return other == e.clip
}

// count is a winding number as a filling takes it: inside where it is over 0.
func count(f filling, wind int32) int32 {
	switch {
	case f == negative, f == nonZero && wind < 0:
		return -wind
	}
	return wind
}

// wind tells the winding numbers beside an edge that begins, from those of the
// edges to its left.
func (s *sweep) wind(e *edge) {
	l := e.left
	for l != nil && l.clip != e.clip {
		l = l.left
	}
	from := s.active
	if l == nil {
		e.wind, e.wind2 = e.winds, 0
	} else {
		e.wind, e.wind2 = windAfter(l, e), l.wind2
		from = l.right
	}
	for ; from != e; from = from.right {
		e.wind2 += from.winds
	}
}

// windAfter is the winding number of an edge after the one of its own area before
// it. An edge holds the number of its side that is further from zero.
func windAfter(l, e *edge) int32 {
	back := l.winds*e.winds < 0
	if l.wind*l.winds < 0 { // toward zero
		switch {
		case l.wind >= -1 && l.wind <= 1:
			return e.winds
		case back:
			return l.wind
		}
		return l.wind + e.winds
	}
	if back {
		return l.wind
	}
	return l.wind + e.winds
}

// intersect changes what two edges bound where they cross: a lies to the left of b
// under the crossing.
func (s *sweep) intersect(a, b *edge, at Point) {
	aMakes, bMakes := a.out >= 0, b.out >= 0
	s.windOver(a, b)
	ca, cb := count(s.inside, a.wind), count(s.inside, b.wind)
	aMay, bMay := ca == 0 || ca == 1, cb == 0 || cb == 1
	switch {
	case aMakes && bMakes:
		if !aMay || !bMay || a.clip != b.clip {
			s.end(a, b, at)
			return
		}
		s.addPoint(a, at)
		s.addPoint(b, at)
		exchange(a, b)
	case aMakes:
		if bMay {
			s.addPoint(a, at)
			exchange(a, b)
		}
	case bMakes:
		if aMay {
			s.addPoint(b, at)
			exchange(a, b)
		}
	case aMay && bMay:
		s.beginAt(a, b, at, ca == 1 && cb == 1)
	}
}

// windOver sets the winding numbers over the crossing of two edges.
func (s *sweep) windOver(a, b *edge) {
	if a.clip != b.clip {
		a.wind2 += b.winds
		b.wind2 -= a.winds
		return
	}
	if a.wind+b.winds == 0 {
		a.wind = -a.wind
	} else {
		a.wind += b.winds
	}
	if b.wind-a.winds == 0 {
		b.wind = -b.wind
	} else {
		b.wind -= a.winds
	}
}

// beginAt begins a contour where two edges cross that bounded nothing, if they
// bound the result over the crossing. both tells that each is on a border of its
// area.
func (s *sweep) beginAt(a, b *edge, at Point, both bool) {
	switch {
	case a.clip != b.clip:
		s.begin(a, b, at)
		return
	case !both:
		a.isLeft, b.isLeft = b.isLeft, a.isLeft
		return
	}
	aIn, bIn := count(s.inside, a.wind2) > 0, count(s.inside, b.wind2) > 0
	var bounds bool
	switch s.op {
	case Intersection:
		bounds = aIn && bIn
	case Union:
		bounds = !aIn && !bIn
	case Difference:
		bounds = aIn == a.clip && bIn == a.clip
	}
	if bounds {
		s.begin(a, b, at)
	}
}

// exchange swaps the contours that two edges make.
func exchange(a, b *edge) {
	a.isLeft, b.isLeft = b.isLeft, a.isLeft
	a.out, b.out = b.out, a.out
}
