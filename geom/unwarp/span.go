package unwarp

import (
	"math"
	"sort"

	"conewright/geom/field"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// span is a stretch of a path over one plane of the base.
type span struct {
	t0, t1 float64
	ruled  bool    // near enough to the base for the rule to act
	raised bool    // the rule sets the height
	turns  bool    // the rule's height changes along the span, with the azimuth
	foot   r2.Vec  // a place of the base, its height, and its normal
	b      float64 //
	normal r3.Vec  //
	turn   float64 // the head turns at t1 to the azimuth that is told here; 0: it doesn't
}

// base returns the height of the base at a plan place of the span.
func (s *span) base(q r2.Vec) float64 {
	if s.normal.Z == 1 {
		return s.b
	}
	return s.b - (s.normal.X*(q.X-s.foot.X)+s.normal.Y*(q.Y-s.foot.Y))/s.normal.Z
}

// slope returns how steep the base is, the tangent of its angle from level.
func (s *span) slope() float64 {
	return math.Sqrt(1-s.normal.Z*s.normal.Z) / s.normal.Z
}

// spans cuts a path where the bed rule begins or ends to act on height or
// filament, where the base beneath changes, and on the axis.
func (p *path) spans(dst []span, r *Rule, swivels bool) []span {
	ruled := p.lowest() < r.Top()
	var jumps []field.Jump
	if swivels {
		var buf [4]field.Jump
		jumps = p.line.Jumps(buf[:0], axisReach)
	}
	if !ruled && len(jumps) == 0 {
		return append(dst, span{t1: 1})
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
		s := span{t0: ts[i-1], t1: ts[i]}
		for _, j := range jumps {
			if math.Abs(ts[i]-j.T) < leastSpan {
				s.turn = j.After
			}
		}
		if ruled {
			p.overBase(&s, r)
		}
		dst = append(dst, s)
	}
	return dst
}

// leastSpan is the share of a path below which two marks are one.
const leastSpan = 1e-9

// ruleMarks adds to the sorted ts where the base changes and where the rule
// begins or ends to act.
func (p *path) ruleMarks(ts []float64, r *Rule) []float64 {
	if r.base != nil {
		ts = r.base.AppendCrossings(ts, p.a, p.b)
		sort.Float64s(ts)
		ts = between(ts, func(ts []float64, s *span) []float64 { return p.underMarks(ts, s, r) })
	}
	sort.Float64s(ts)
	return between(ts, func(ts []float64, s *span) []float64 {
		p.overBase(s, r)
		if !s.ruled {
			return ts
		}
		z0, z1 := p.baseLine(s)
		if s.turns {
			ts = p.turningLevels(ts, s, r)
		} else {
			ts = p.levels(ts, s.t0, s.t1, z0+r.Over(s.normal, p.lean((s.t0+s.t1)/2)), z1)
		}
		return p.levels(ts, s.t0, s.t1, z0+r.h, z1)
	})
}

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
// other, as those of overlapping bodies may.
func (p *path) underMarks(ts []float64, s *span, r *Rule) []float64 {
	mid := p.at((s.t0 + s.t1) / 2)
	var buf [4][2]float64
	above := buf[:0] // the planes over this one, as z0 + t z1
	for under := math.Inf(1); ; {
		b, n, ok := r.base.Height(mid.X, mid.Y, under)
		if !ok || b <= 0 {
			return ts
		}
		under = b - 1e-5 // more than what Height forgives
		s.foot, s.b, s.normal = mid, b, n
		z0, z1 := p.baseLine(s)
		ts = p.levels(ts, s.t0, s.t1, z0-r.h, z1)
		for _, o := range above {
			if t := (o[0] - z0) / (z1 - o[1]); t > s.t0 && t < s.t1 {
				ts = append(ts, t)
			}
		}
		above = append(above, [2]float64{z0, z1})
	}
}

// baseLine returns the base under a span as z0 + t z1.
func (p *path) baseLine(s *span) (z0, z1 float64) {
	z0 = s.base(p.a)
	return z0, s.base(p.b) - z0
}

// turnStep is how far the azimuth turns between two looks for the places where
// a turning rule begins or ends to act, radians: a height that touches the
// path's between two looks is off by R0 (turnStep)^2 / 8, 2 um for a rim of
// 0.5 mm.
const turnStep = 10 * math.Pi / 180

// turningLevels adds where the path meets the rule's height over a slanting
// base, which changes with the azimuth, and where that height has a bend or a
// bead under it gets all of its filament.
func (p *path) turningLevels(ts []float64, s *span, r *Rule) []float64 {
	over := func(t float64) float64 { return r.Over(s.normal, p.lean(t)) }
	for t := s.t0; t < s.t1; {
		next := math.Min(p.line.ReachTurn(t, turnStep), s.t1)
		if next-t < leastSpan {
			next = math.Min(t+1e-3, s.t1)
		}
		ts = root(ts, func(t float64) float64 { return p.raw(t) - s.base(p.at(t)) - over(t) }, t, next)
		ts = root(ts, func(t float64) float64 { return over(t) - r.h }, t, next)
		ts = root(ts, func(t float64) float64 { return over(t) - r.half - 1e-9 }, t, next)
		t = next
	}
	return ts
}

// overBase fills in what lies beneath a span and whether the rule acts.
func (p *path) overBase(s *span, r *Rule) {
	mid := (s.t0 + s.t1) / 2
	q, z := p.at(mid), p.raw(mid)
	// The base is a plane over the span: its middle tells which, for at the
	// ends a neighbour's plane may be just as near.
	s.b, s.normal = r.Base(q, z)
	s.foot = q
	s.turns = s.normal.Z < 1 && !p.field.Linear() && r.swivels()
	z0, z1 := p.baseLine(s)
	low := p.lowestOver(s, z0, z1)
	s.ruled = low < math.Max(r.h, math.Max(r.half, r.rim))
	s.raised = z < s.b+r.Over(s.normal, p.lean(mid))
}

// lowestOver returns how high the path stands over the plane z0 + t z1 at
// least, within the span.
func (p *path) lowestOver(s *span, z0, z1 float64) float64 {
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
