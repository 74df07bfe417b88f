package unwarp

import (
	"math"
	"sort"

	"conewright/geom/field"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// span is a stretch of a path over one plane of the base, seen from the tip and
// from the bead.
type span struct {
	t0, t1 float64
	ruled  bool    // near enough to the base for the rule to act
	raised bool    // the rule sets the height
	turns  bool    // the rule's height isn't linear along the span
	tip    footing // the base under the tip
	bead   footing // the base under the middle of the bead
	turn   float64 // the head turns at t1 to the azimuth that is told here; 0: it doesn't
	lo, hi float64 // the stretch between two jumps that the span lies in
}

// footing is a plane of the base: a place on it, its height, and its normal.
type footing struct {
	at     r2.Vec
	z      float64
	normal r3.Vec
}

// height returns the height of the base at a plan place.
func (f *footing) height(q r2.Vec) float64 {
	if f.normal.Z == 1 {
		return f.z
	}
	return f.z - (f.normal.X*(q.X-f.at.X)+f.normal.Y*(q.Y-f.at.Y))/f.normal.Z
}

// slope returns how steep the base is, the tangent of its angle from level.
func (f *footing) slope() float64 {
	return math.Sqrt(1-f.normal.Z*f.normal.Z) / f.normal.Z
}

// spans cuts a path where the bed rule begins or ends to act on height or
// filament, where the base beneath changes, and on the axis.
func (p *path) spans(dst []span, r *Rule, swivels bool) []span {
	ruled := p.lowest() < r.Top()
	var jumps []field.Jump
	lo, hi := 0.0, 1.0
	if swivels {
		var buf [4]field.Jump
		jumps, lo, hi = p.innerJumps(p.line.Jumps(buf[:0], axisReach))
	}
	if !ruled && len(jumps) == 0 {
		return append(dst, span{t1: 1, lo: lo, hi: hi})
	}
	var buf [16]float64
	ts := append(buf[:0], 0, 1)
	for _, j := range jumps {
		ts = append(ts, j.T)
	}
	if ruled {
		ts = p.ruleMarks(ts, r)
	}
	sort.Float64s(ts)
	for i := 1; i < len(ts); i++ {
		if ts[i]-ts[i-1] < leastSpan && ts[i] != 1 {
			ts[i] = ts[i-1]
			continue
		}
		s := span{t0: ts[i-1], t1: ts[i], lo: lo, hi: hi}
		for _, j := range jumps {
			if math.Abs(ts[i]-j.T) < leastSpan {
				s.turn = j.After
			}
			if j.T < s.t1-leastSpan {
				s.lo = math.Max(s.lo, j.T)
			} else {
				s.hi = math.Min(s.hi, j.T)
			}
		}
		if ruled {
			p.overBase(&s, r)
		}
		dst = append(dst, s)
	}
	return dst
}

// innerJumps takes away the creases so near a path's ends that the other side's
// azimuth will do there: rounded places of a corner on a crease often lie across
// it. It returns where the stretch between them begins and ends.
func (p *path) innerJumps(jumps []field.Jump) (inner []field.Jump, lo, hi float64) {
	inner, hi = jumps[:0], 1
	length := r2.Norm(r2.Sub(p.b, p.a))
	for _, j := range jumps {
		switch {
		case p.nearAxis(p.at(j.T)):
			inner = append(inner, j)
		case (1-j.T)*length < eitherSide/2:
			hi = math.Min(hi, j.T)
		case j.T*length < eitherSide/2:
			lo = j.T
		default:
			inner = append(inner, j)
		}
	}
	return inner, lo, hi
}

// leastSpan is the share of a path below which two marks are one.
const leastSpan = 1e-9

// ruleMarks adds to the sorted ts where the base changes and where the rule
// begins or ends to act.
func (p *path) ruleMarks(ts []float64, r *Rule) []float64 {
	if r.base != nil {
		ts = r.base.AppendCrossings(ts, p.a, p.b)
		if p.nozzle.tilted() {
			ts = p.tipCrossings(ts, r)
		}
		sort.Float64s(ts)
		ts = between(ts, func(ts []float64, s *span) []float64 { return p.underMarks(ts, s, r, p.at, false) })
		if p.nozzle.tilted() {
			sort.Float64s(ts)
			ts = between(ts, func(ts []float64, s *span) []float64 { return p.underMarks(ts, s, r, p.tip, p.bends()) })
		}
	}
	sort.Float64s(ts)
	return between(ts, func(ts []float64, s *span) []float64 {
		p.overBase(s, r)
		if !s.ruled {
			return ts
		}
		if s.turns {
			ts = p.turningLevels(ts, s, r)
		} else {
			z0 := p.least(s, r, 0)
			ts = p.levels(ts, s.t0, s.t1, z0, p.least(s, r, 1)-z0)
		}
		z0 := s.bead.height(p.a)
		z1 := s.bead.height(p.b) - z0
		ts = p.levels(ts, s.t0, s.t1, z0+r.h, z1)
		if s.bead == s.tip {
			return ts
		}
		// A bead over an edge of the base, with the tip beside it, may come to lie
		// under the base: it gets no filament.
		if ts = p.levels(ts, s.t0, s.t1, z0, z1); s.turns {
			return ts
		}
		for _, room := range [2]float64{0, r.h} {
			from, to := p.least(s, r, 0)-z0-room, p.least(s, r, 1)-z0-z1-room
			if t := from / (from - to); t > s.t0 && t < s.t1 {
				ts = append(ts, t)
			}
		}
		return ts
	})
}

// least returns the least height of the path at t (see raw) by the rule.
func (p *path) least(s *span, r *Rule, t float64) float64 {
	n := p.nozzleAt(t)
	return s.tip.height(p.tip(t)) + r.Over(s.tip.normal, n.axis(p.lean(t))) + p.sunk(t)
}

// tipCrossings adds where the tip passes from one plane of the base to another.
func (p *path) tipCrossings(ts []float64, r *Rule) []float64 {
	p.stretches(0, 1, func(t0, t1 float64) {
		n := len(ts)
		ts = r.base.AppendCrossings(ts, p.tip(t0), p.tip(t1))
		for i := n; i < len(ts); i++ {
			ts[i] = t0 + ts[i]*(t1-t0)
		}
	})
	return ts
}

// stretches calls each for stretches of [t0, t1] in which the azimuth turns by
// turnStep at most.
func (p *path) stretches(t0, t1 float64, each func(t0, t1 float64)) {
	for t := t0; t < t1; {
		next := math.Min(p.line.ReachTurn(t, turnStep), t1)
		if next-t < leastSpan {
			next = math.Min(t+1e-3, t1)
		}
		if p.nozzle.follows { // a way straight down the slope doesn't turn, but leans
			next = math.Min(next, t+leanStep/math.Max(r2.Norm(r2.Sub(p.b, p.a)), leanStep))
		}
		each(t, next)
		t = next
	}
}

// leanStep is the length, mm, of the stretches in which a head that leans on its way
// is looked at.
const leanStep = 0.5

// between calls add, which appends to ts, for each stretch between the marks
// that ts holds now.
func between(ts []float64, add func(ts []float64, s *span) []float64) []float64 {
	for i, n := 1, len(ts); i < n; i++ {
		if ts[i]-ts[i-1] >= leastSpan {
			ts = add(ts, &span{t0: ts[i-1], t1: ts[i]})
		}
	}
	return ts
}

// underMarks adds where the path comes high enough over a plane of the base to
// have it beneath (see Rule.Base), and where two planes of it run through each
// other, as those of overlapping bodies may. The base is that under place(t),
// which may bend.
func (p *path) underMarks(ts []float64, s *span, r *Rule, place func(t float64) r2.Vec, bends bool) []float64 {
	mid := place((s.t0 + s.t1) / 2)
	var buf [4]footing
	above := buf[:0] // the planes over this one
	for under := math.Inf(1); ; {
		b, n, ok := r.base.Height(mid.X, mid.Y, under)
		if !ok || b <= 0 {
			return ts
		}
		under = b - 1e-5 // more than what Height forgives
		f := footing{at: mid, z: b, normal: n}
		if bends {
			p.stretches(s.t0, s.t1, func(t0, t1 float64) {
				ts = root(ts, func(t float64) float64 { return p.raw(t) - f.height(place(t)) + r.h }, t0, t1)
				for i := range above {
					ts = root(ts, func(t float64) float64 { return above[i].height(place(t)) - f.height(place(t)) }, t0, t1)
				}
			})
		} else {
			z0 := f.height(place(0))
			z1 := f.height(place(1)) - z0
			ts = p.levels(ts, s.t0, s.t1, z0-r.h, z1)
			for i := range above {
				o0 := above[i].height(place(0))
				o1 := above[i].height(place(1)) - o0
				if t := (o0 - z0) / (z1 - o1); t > s.t0 && t < s.t1 {
					ts = append(ts, t)
				}
			}
		}
		above = append(above, f)
	}
}

// turnStep is how far the azimuth turns between two looks for the places where
// a turning rule begins or ends to act, radians: a height that touches the
// path's between two looks is off by R0 (turnStep)^2 / 8, 2 um for a rim of
// 0.5 mm.
const turnStep = 10 * math.Pi / 180

// turningLevels adds where the path meets the rule's height that changes with
// the azimuth, where that height has a bend, and where a bead at it begins to get
// filament and where it gets all.
func (p *path) turningLevels(ts []float64, s *span, r *Rule) []float64 {
	least := func(t float64) float64 { return p.least(s, r, t) }
	p.stretches(s.t0, s.t1, func(t0, t1 float64) {
		ts = root(ts, func(t float64) float64 { return p.raw(t) - least(t) }, t0, t1)
		ts = root(ts, func(t float64) float64 { return least(t) - s.bead.height(p.at(t)) - r.h }, t0, t1)
		ts = root(ts, func(t float64) float64 { return least(t) - s.bead.height(p.at(t)) }, t0, t1)
		ts = root(ts, func(t float64) float64 {
			n := p.nozzleAt(t)
			return r.Over(s.tip.normal, n.axis(p.lean(t))) - r.half - 1e-9
		}, t0, t1)
	})
	return ts
}

// overBase fills in what lies beneath a span and whether the rule acts.
func (p *path) overBase(s *span, r *Rule) {
	mid := (s.t0 + s.t1) / 2
	z := p.raw(mid)
	// The base is a plane over the span: its middle tells which, for at the
	// ends a neighbour's plane may be just as near.
	under := func(q r2.Vec) footing {
		b, n := r.Base(q, z)
		return footing{at: q, z: b, normal: n}
	}
	s.bead = under(p.at(mid))
	s.tip = s.bead
	if p.nozzle.tilted() {
		s.tip = under(p.tip(mid))
	}
	s.turns = r.swivels() && p.bends() && (s.tip.normal.Z < 1 || p.nozzle.follows || p.sinks())
	low := p.lowestOver(s, &s.bead)
	if s.tip != s.bead {
		low = math.Min(low, p.lowestOver(s, &s.tip)-p.nozzle.reach()*s.tip.slope())
	}
	s.ruled = low < r.most
	s.raised = z < p.least(s, r, mid)
}

// lowestOver returns how high the path stands over a plane of the base at least,
// within the span.
func (p *path) lowestOver(s *span, f *footing) float64 {
	z0 := f.height(p.a)
	z1 := f.height(p.b) - z0
	over := func(t float64) float64 { return p.raw(t) - z0 - t*z1 }
	low := math.Min(over(s.t0), over(s.t1))
	var buf [4]float64
	for _, t := range p.extrema(buf[:0], z1) {
		if t > s.t0 && t < s.t1 {
			low = math.Min(low, over(t))
		}
	}
	return low
}
