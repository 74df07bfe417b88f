package unwarp

import (
	"math"
	"sort"

	"conewright/geom/field"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// path is one planar move seen on the shells: a segment in plan whose shell
// runs from c0 to c1.
type path struct {
	field  *field.Field
	a, b   r2.Vec
	c0, c1 float64
	line   field.Line
}

func newPath(f *field.Field, a, b r2.Vec, c0, c1 float64) path {
	return path{field: f, a: a, b: b, c0: c0, c1: c1, line: f.Along(a, b)}
}

func (p *path) at(t float64) r2.Vec {
	if t == 1 {
		return p.b
	}
	return r2.Vec{X: p.a.X + t*(p.b.X-p.a.X), Y: p.a.Y + t*(p.b.Y-p.a.Y)}
}

// c returns the shell that the path is on at t.
func (p *path) c(t float64) float64 { return p.c0 + t*(p.c1-p.c0) }

// raw returns the height on the shell at t, before any rule.
func (p *path) raw(t float64) float64 { return p.c(t) - p.field.At(p.at(t)) }

// lowest returns a height that the path never goes below.
func (p *path) lowest() float64 {
	least := math.Min(p.raw(0), p.raw(1))
	if p.field.Inward && p.field.Kind == field.Cone { // hangs below its chord
		gap, _ := p.line.Gap(0, 1)
		least -= gap
	}
	return least
}

// azimuth returns the azimuth of the gradient at t. Within nearAxis of the axis
// it is that of the far end of the path, where the words are written too
// coarsely to tell one; ok is false where neither end tells it.
func (p *path) azimuth(t float64) (azimuth float64, ok bool) {
	q := p.at(t)
	if p.nearAxis(q) {
		if t < 0.5 {
			q = p.b
		} else {
			q = p.a
		}
		if p.nearAxis(q) {
			return 0, false
		}
	}
	return p.field.Azimuth(q)
}

// axisReach, mm, is how near the axis a place written in thousandths can't tell
// its azimuth any more, and how near a bead passes that is broken there instead
// of making the head whirl round while it crawls by. The azimuth errs by less
// than 5 degrees again 0.06 mm from the axis.
const axisReach = 0.005

func (p *path) nearAxis(q r2.Vec) bool {
	return p.field.Kind == field.Cone && math.Hypot(q.X-p.field.Axis.X, q.Y-p.field.Axis.Y) < axisReach
}

// throughAxis returns where the path runs through the axis itself, so that the
// head would have to turn round on the spot.
func (p *path) throughAxis() (t float64, ok bool) {
	if p.field.Kind != field.Cone {
		return 0, false
	}
	distance, t := p.line.Closest()
	if distance >= axisReach || t <= 0 || t >= 1 || p.nearAxis(p.a) || p.nearAxis(p.b) {
		return 0, false
	}
	return t, true
}

// levels adds to ts where the path's height over the plane z = z0 + t z1 changes
// sign within (t0, t1). The difference is convex or concave (a linear part and
// one hyperbola), so it has at most one extremum and two roots.
func (p *path) levels(ts []float64, t0, t1, z0, z1 float64) []float64 {
	over := func(t float64) float64 { return p.raw(t) - z0 - t*z1 }
	turn := t1
	if p.field.Kind == field.Cone {
		turn = p.extremum(z1)
	}
	if turn > t0 && turn < t1 {
		ts = root(ts, over, t0, turn)
		return root(ts, over, turn, t1)
	}
	return root(ts, over, t0, t1)
}

// extremum returns the t where the path's height less t z1 has no slope, or NaN.
func (p *path) extremum(z1 float64) float64 {
	d := r2.Sub(p.b, p.a)
	length := r2.Norm(d)
	if length == 0 {
		return math.NaN()
	}
	slope := p.field.Slope
	if p.field.Inward {
		slope = -slope
	}
	k := (p.c1 - p.c0 - z1) / (slope * length)
	if !(math.Abs(k) < 1) {
		return math.NaN()
	}
	closest, t := p.line.Closest()
	q := math.Hypot(closest, p.field.Round)
	return t + q*k/math.Sqrt(1-k*k)/length
}

// root adds the root of f in (lo, hi) where f changes sign there.
func root(ts []float64, f func(float64) float64, lo, hi float64) []float64 {
	flo, fhi := f(lo), f(hi)
	if flo*fhi >= 0 {
		return ts
	}
	a, b := lo, hi
	for i := 0; i < 60 && b-a > 1e-13; i++ {
		mid := (a + b) / 2
		if f(mid)*flo > 0 {
			a = mid
		} else {
			b = mid
		}
	}
	return append(ts, (a+b)/2)
}

// span is a stretch of a path over one stretch of base.
type span struct {
	t0, t1 float64
	ruled  bool    // near enough to the base for the rule to act
	raised bool    // the rule sets the height
	b0, b1 float64 // height of the base at t0 and t1
	normal r3.Vec  // of the base
	turn   bool    // the head turns round on the axis at t1
}

// base returns the height of the base at t.
func (s *span) base(t float64) float64 {
	if s.b0 == s.b1 || s.t1 == s.t0 {
		return s.b0
	}
	return s.b0 + (t-s.t0)/(s.t1-s.t0)*(s.b1-s.b0)
}

// spans cuts a path where the bed rule begins or ends to act on height or
// filament, where the base beneath changes, and on the axis.
func (p *path) spans(dst []span, r *Rule, swivels bool) []span {
	ruled := p.lowest() < r.Top()
	axis, through := 0.0, false
	if swivels {
		axis, through = p.throughAxis()
	}
	if !ruled && !through {
		return append(dst, span{t1: 1})
	}
	var buf [16]float64
	ts := append(buf[:0], 0, 1)
	if through {
		ts = append(ts, axis)
	}
	if ruled {
		ts = p.ruleMarks(ts, r)
	}
	sort.Float64s(ts)
	for i := 1; i < len(ts); i++ {
		if ts[i]-ts[i-1] < 1e-9 && ts[i] != 1 {
			ts[i] = ts[i-1]
			continue
		}
		s := span{t0: ts[i-1], t1: ts[i], ruled: ruled, turn: through && math.Abs(ts[i]-axis) < 1e-9}
		if ruled {
			p.overBase(&s, r)
		}
		dst = append(dst, s)
	}
	return dst
}

// ruleMarks adds where the base changes and where the rule begins or ends.
func (p *path) ruleMarks(ts []float64, r *Rule) []float64 {
	if r.base != nil {
		ts = append(ts, r.base.Crossings(p.a, p.b)...)
		sort.Float64s(ts)
	}
	edges := len(ts)
	for i := 1; i < edges; i++ {
		t0, t1 := ts[i-1], ts[i]
		if t1-t0 < 1e-9 {
			continue
		}
		s := span{t0: t0, t1: t1}
		p.overBase(&s, r)
		lift := s.b1 - s.b0
		z1 := lift / (t1 - t0)
		z0 := s.b0 - t0*z1
		azimuth, _ := p.azimuth((t0 + t1) / 2)
		ts = p.levels(ts, t0, t1, z0+r.Over(s.normal, azimuth), z1)
		ts = p.levels(ts, t0, t1, z0+r.h, z1)
	}
	return ts
}

// overBase fills in what lies beneath a span and whether the rule raises it.
func (p *path) overBase(s *span, r *Rule) {
	mid := (s.t0 + s.t1) / 2
	q, z := p.at(mid), p.raw(mid)
	b, n := r.Base(q, z)
	s.normal = n
	// The base is a plane over the span: carry it from the middle to the ends,
	// where a neighbour's plane may be just as near.
	s.b0 = b - (n.X*(p.at(s.t0).X-q.X)+n.Y*(p.at(s.t0).Y-q.Y))/n.Z
	s.b1 = b - (n.X*(p.at(s.t1).X-q.X)+n.Y*(p.at(s.t1).Y-q.Y))/n.Z
	azimuth, _ := p.azimuth(mid)
	s.raised = z < b+r.Over(n, azimuth)
}
