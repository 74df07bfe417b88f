package field

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// bent is the line of a field that isn't built in. What is asked of it follows
// from the answers by search: between the breaks the lift is convex or concave,
// so that each search has one solution.
type bent struct {
	answers *Answers
	a, b    r2.Vec
	length  float64
	marks   []float64 // 0, the breaks, 1; nil: not asked for yet
}

// nudge is how far inside a stretch, as a share of it, its ends' gradients are
// asked for: at a break itself they may be those of the other side.
const nudge = 1e-9

// sameMark is the distance along a line, mm, below which two breaks are one: one
// place on a crease is often found in several ways, each with its own rounding.
const sameMark = 1e-6

func (l *bent) at(t float64) r2.Vec {
	return r2.Vec{X: l.a.X + t*(l.b.X-l.a.X), Y: l.a.Y + t*(l.b.Y-l.a.Y)}
}

func (l *bent) lift(t float64) float64 { return l.answers.At(l.at(t)) }

// rate returns the lift's derivative by t.
func (l *bent) rate(t float64) float64 {
	return r2.Dot(l.answers.Grad(l.at(t)), r2.Sub(l.b, l.a))
}

// breaks returns 0, the breaks and 1, ascending.
func (l *bent) breaks() []float64 {
	if l.marks == nil {
		ts := l.answers.Breaks(append(make([]float64, 0, 8), 0, 1), l.a, l.b)
		slices.Sort(ts)
		kept, same := ts[:1], math.Min(sameMark/l.length, 1e-3)
		for _, t := range ts[1:] {
			if t > kept[len(kept)-1]+same && t < 1-same {
				kept = append(kept, t)
			}
		}
		l.marks = append(kept, 1)
	}
	return l.marks
}

// each calls visit for every stretch between breaks within [t0, t1].
func (l *bent) each(t0, t1 float64, visit func(s0, s1 float64)) {
	marks := l.breaks()
	for i := 1; i < len(marks); i++ {
		if s0, s1 := math.Max(marks[i-1], t0), math.Min(marks[i], t1); s1 > s0 {
			visit(s0, s1)
		}
	}
}

// disc returns the disc over the stretch from t0 to t1.
func (l *bent) disc(t0, t1 float64) (middle r2.Vec, radius float64) {
	return l.at((t0 + t1) / 2), (t1 - t0) * l.length / 2
}

func (l *bent) bend(t0, t1 float64) float64 { return l.answers.Bend(l.disc(t0, t1)) }

func (l *bent) straight(tol float64) bool {
	return l.bend(0, 1)*l.length*l.length <= 8*tol
}

// closest bounds how near the segment comes to where the azimuth isn't defined:
// a distance changes by at most the way.
func (l *bent) closest() float64 {
	a, b := l.answers.Apart(l.a), l.answers.Apart(l.b)
	return math.Max(0, (a+b-l.length)/2)
}

// solve returns where the lift's rate is k in a stretch without a break, where
// it crosses k.
func (l *bent) solve(s0, s1, k float64) (t float64, ok bool) {
	in := nudge * (s1 - s0)
	lo, hi := s0+in, s1-in
	flo, fhi := l.rate(lo)-k, l.rate(hi)-k
	if flo*fhi > 0 || flo == 0 && fhi == 0 {
		return 0, false
	}
	// regula falsi with halving (the Illinois rule)
	for i := 0; i < 60 && hi-lo > 1e-12; i++ {
		mid := lo + (hi-lo)*flo/(flo-fhi)
		if i%3 == 2 || !(mid > lo && mid < hi) {
			mid = (lo + hi) / 2
		}
		f := l.rate(mid) - k
		if f == 0 {
			return mid, true
		}
		if f*flo > 0 {
			lo, flo = mid, f
			fhi /= 2
		} else {
			hi, fhi = mid, f
			flo /= 2
		}
	}
	return (lo + hi) / 2, true
}

func (l *bent) gap(t0, t1 float64) (gap, at float64) {
	at = (t0 + t1) / 2
	if t1 <= t0 {
		return 0, at
	}
	f0 := l.lift(t0)
	k := (l.lift(t1) - f0) / (t1 - t0)
	look := func(t float64) {
		if g := math.Abs(l.lift(t) - f0 - k*(t-t0)); g > gap {
			gap, at = g, t
		}
	}
	l.each(t0, t1, func(s0, s1 float64) {
		if s0 > t0 {
			look(s0)
		}
		if t, ok := l.solve(s0, s1, k); ok {
			look(t)
		}
	})
	return gap, at
}

// reachSlack is how far short of the farthest end a piece may stop, as a share
// of it: no piece more is needed for it but one in a thousand.
const reachSlack = 1e-3

// reachWhile returns how far from t0, up to t1, a piece may run for which fits
// holds; short pieces fit.
func reachWhile(t0, t1 float64, fits func(t float64) bool) float64 {
	if fits(t1) {
		return t1
	}
	lo, hi := t0, t1
	for i := 0; i < 60 && hi-lo > reachSlack*(lo-t0) && hi-lo > 1e-12; i++ {
		if mid := (lo + hi) / 2; fits(mid) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

func (l *bent) reach(t0, tol float64) float64 {
	return reachWhile(t0, 1, func(t float64) bool {
		if w := (t - t0) * l.length; l.bend(t0, t)*w*w <= 8*tol {
			return true
		}
		gap, _ := l.gap(t0, t)
		return gap <= tol
	})
}

// azimuth returns the azimuth at t as seen from within the stretch s0 to s1.
func (l *bent) azimuth(t, s0, s1 float64) (azimuth float64, ok bool) {
	in := nudge * (s1 - s0)
	g := l.answers.Grad(l.at(math.Min(math.Max(t, s0+in), s1-in)))
	return math.Atan2(g.Y, g.X), g != r2.Vec{}
}

// looks is how many azimuths are looked at in a stretch without a break.
const looks = 12

// course returns the azimuth along [t0, t1], followed on from place to place,
// at looks places a stretch.
func (l *bent) course(t0, t1 float64) (ts, azimuths []float64) {
	l.each(t0, t1, func(s0, s1 float64) {
		for i := range looks + 1 {
			t := s0 + float64(i)/looks*(s1-s0)
			a, ok := l.azimuth(t, s0, s1)
			if !ok {
				continue
			}
			if n := len(azimuths); n > 0 {
				a = azimuths[n-1] + math.Remainder(a-azimuths[n-1], 2*math.Pi)
			}
			ts, azimuths = append(ts, t), append(azimuths, a)
		}
	})
	return ts, azimuths
}

// calm reports that the azimuth turns by less than tol over [t0, t1], whatever
// the way: by how far that is from where it isn't defined.
func (l *bent) calm(t0, t1, tol float64) bool {
	middle, radius := l.disc(t0, t1)
	apart := l.answers.Apart(middle) - radius
	return apart > 0 && 2*radius <= tol*apart && l.answers.Crease(middle) > radius
}

func (l *bent) azimuthError(t0, t1 float64) (worst float64) {
	ts, azimuths := l.course(t0, t1)
	if len(ts) < 2 {
		return 0
	}
	first := azimuths[0]
	turn := math.Remainder(azimuths[len(azimuths)-1]-first, 2*math.Pi)
	for i, t := range ts {
		worst = math.Max(worst, math.Abs(math.Remainder(azimuths[i]-first-turn*(t-t0)/(t1-t0), 2*math.Pi)))
	}
	return worst
}

func (l *bent) turn(t0, t1 float64) (sum float64) {
	_, azimuths := l.course(t0, t1)
	for i := 1; i < len(azimuths); i++ {
		sum += math.Abs(azimuths[i] - azimuths[i-1])
	}
	return sum
}

// between returns the stretch without a jump that begins at t0, at most to t1. A
// jump at t0, but for rounding, lies before it.
func (l *bent) between(t0, t1 float64) (from, to float64) {
	var buf [4]Jump
	from, to = t0, t1
	for _, j := range l.jumps(buf[:0], 0) {
		if math.Abs(j.T-t0)*l.length <= tinyP {
			from = math.Max(from, j.T)
		} else if j.T > t0 {
			to = math.Min(to, j.T)
		}
	}
	return from, math.Max(from, to)
}

func (l *bent) reachAzimuth(t0, t1, tol float64) float64 {
	if l.calm(t0, t1, tol) {
		return t1
	}
	from, to := l.between(t0, t1)
	return l.moveOn(t0, to, reachWhile(from, to, func(t float64) bool { return l.calm(from, t, tol) || l.azimuthError(from, t) <= tol }))
}

func (l *bent) reachTurn(t0, angle float64) float64 {
	if l.calm(t0, 1, angle) {
		return 1
	}
	from, to := l.between(t0, 1)
	return l.moveOn(t0, to, reachWhile(from, to, func(t float64) bool { return l.calm(from, t, angle) || l.turn(from, t) <= angle }))
}

// leastPiece is the length, mm, below which an azimuth's turn is no matter: a
// place on a printer can't be told from another so near.
const leastPiece = 1e-3

// moveOn returns end, or a place just after t0 where that is less.
func (l *bent) moveOn(t0, to, end float64) float64 {
	return math.Max(end, math.Min(to, t0+leastPiece/l.length))
}

// pastCrease is how far off a crease, mm, its side's azimuth is asked for.
const pastCrease = 1e-4

// leastJump is how much the azimuth must differ on either side of a break,
// radians, for a jump: what a nudge turns it by is far less.
const leastJump = 1e-3

// jumps looks at every break: on either side the azimuth is told a little apart
// from it, farther where it isn't defined within reach.
func (l *bent) jumps(dst []Jump, reach float64) []Jump {
	marks := l.breaks()
	for _, t := range marks[1 : len(marks)-1] {
		off := pastCrease
		if d := l.answers.Apart(l.at(t)); d < reach {
			off = math.Max(off, math.Sqrt(reach*reach-d*d))
		}
		before, after := t-off/l.length, t+off/l.length
		if off > pastCrease && (before <= 0 || after >= 1) {
			continue
		}
		before, after = math.Max(before, t/2), math.Min(after, (1+t)/2)
		g, h := l.answers.Grad(l.at(before)), l.answers.Grad(l.at(after))
		if g == (r2.Vec{}) || h == (r2.Vec{}) {
			continue
		}
		if math.Abs(math.Atan2(r2.Cross(g, h), r2.Dot(g, h))) > leastJump*math.Max(1, off/pastCrease) {
			dst = append(dst, Jump{t, before, after})
		}
	}
	return dst
}

// leastKink is how much the lift's rate must differ on either side of a break,
// as a share of the steepest, for a corner.
const leastKink = 1e-6

func (l *bent) kinks(dst []float64) []float64 {
	marks := l.breaks()
	for i, t := range marks[1 : len(marks)-1] {
		in := 1e-7 * math.Min(t-marks[i], marks[i+2]-t)
		if math.Abs(l.rate(t+in)-l.rate(t-in)) > leastKink*l.answers.Slope*l.length {
			dst = append(dst, t)
		}
	}
	return dst
}

func (l *bent) extrema(dst []float64, rise float64) []float64 {
	l.each(0, 1, func(s0, s1 float64) {
		if s0 > 0 {
			dst = append(dst, s0)
		}
		if t, ok := l.solve(s0, s1, rise); ok {
			dst = append(dst, t)
		}
	})
	return dst
}
