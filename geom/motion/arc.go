package motion

import (
	"math"

	"conewright/geom/message"
)

// Limits of arcs.
const (
	// ArcSlack is how far the radii at an arc's two ends may differ, mm, before
	// it is counted: NISTIR 6556, 3.5.3.2.
	ArcSlack = 0.002
	// A difference over arcGross of the radius (and over arcLeast, mm) isn't
	// rounding any more: the line is a Problem.
	arcGross = 0.1
	arcLeast = 0.2
	// maxChords bounds the chords of one turn.
	maxChords = 20000
	// Arcs of a print have tens of chords. What an arc has beyond fewChords is counted,
	// and over mostFine of a file are refused: a short file can ask for them, but nobody
	// would live to see them read.
	fewChords = 64
	mostFine  = 10_000_000
	// sameEnd is how near, mm, start and end of a full circle are.
	sameEnd = 1e-6
	// radiusSlack is what rounding to 3 decimals may take off an R that is just
	// half the distance, mm.
	radiusSlack = 0.005
)

// circle is an arc in its plane: centre, start and end angles and radii.
type circle struct {
	c          [2]float64
	r0, r1     float64
	start, arc float64 // radians; arc > 0 counter-clockwise
}

// arc makes a G2 or G3 as chords. E, height and the difference of radii are
// spread evenly over the angle.
func (r *reader) arc(s []byte) error {
	t, why := r.goal()
	if why != "" {
		return r.problem(s, why)
	}
	a, why := r.circle(&t)
	if why != "" {
		return r.problem(s, why)
	}
	if ok, err := r.roundness(s, &a); !ok || err != nil {
		return err
	}
	height := t.pos[r.plane[2]] - r.pos[r.plane[2]]
	length := math.Hypot(math.Abs(a.arc)*(a.r0+a.r1)/2, height)
	feed := r.feed
	if r.inverse {
		if r.b.has&letterF == 0 {
			return r.problem(s, "under G93 every feed move needs its F")
		}
		feed *= length
	}
	return r.chords(&a, &t, feed)
}

// circle finds the centre of the block's arc, by I J K or by R.
func (r *reader) circle(t *target) (a circle, why string) {
	b := &r.b
	u, v, w := r.plane[0], r.plane[1], r.plane[2]
	p := [2]float64{r.pos[u], r.pos[v]}
	q := [2]float64{t.pos[u], t.pos[v]}
	centre := b.has & lettersIJK
	switch {
	case (b.bare)&(lettersIJK|letterR) != 0:
		return a, "an arc's centre without a number"
	case b.has&letterP != 0:
		return a, "P on an arc, which controllers read differently"
	case centre != 0 && b.has&letterR != 0:
		return a, "an arc with both R and I, J or K"
	case centre&(1<<('i'-'a'+w)) != 0:
		return a, "an arc's centre off its plane"
	case centre != 0:
		off := [2]float64{b.v['i'-'a'+u] * r.unit, b.v['i'-'a'+v] * r.unit}
		for k, axis := range [2]int{u, v} {
			if centre&(1<<('i'-'a'+axis)) == 0 {
				off[k] = 0
			}
			a.c[k] = p[k] + off[k]
			if r.centreAbsolute {
				a.c[k] = off[k] + r.off[axis]
			}
		}
	case b.has&letterR != 0:
		if a.c, why = radiusCentre(p, q, b.val('r')*r.unit, r.motion == g2); why != "" {
			return a, why
		}
	default:
		return a, "an arc without a centre"
	}
	a.r0, a.r1 = math.Hypot(p[0]-a.c[0], p[1]-a.c[1]), math.Hypot(q[0]-a.c[0], q[1]-a.c[1])
	if a.r0 == 0 || a.r1 == 0 || a.r0 > maxValue {
		return a, "an arc without a radius"
	}
	a.start = math.Atan2(p[1]-a.c[1], p[0]-a.c[0])
	end := math.Atan2(q[1]-a.c[1], q[0]-a.c[0])
	a.arc = turn(a.start, end, r.motion == g2)
	if math.Hypot(q[0]-p[0], q[1]-p[1]) < sameEnd {
		a.arc = math.Copysign(2*math.Pi, a.arc)
		if r.motion == g2 {
			a.arc = -2 * math.Pi
		}
	}
	return a, ""
}

// turn returns the angle from start to end, in (0, 2 pi], negative clockwise.
func turn(start, end float64, clockwise bool) float64 {
	d := end - start
	if clockwise {
		d = -d
	}
	for d <= 0 {
		d += 2 * math.Pi
	}
	for d > 2*math.Pi {
		d -= 2 * math.Pi
	}
	if clockwise {
		return -d
	}
	return d
}

// radiusCentre finds the centre of an arc given by its radius: the shorter arc
// for R > 0, the longer for R < 0 (NISTIR 6556, 3.5.3.1).
func radiusCentre(p, q [2]float64, radius float64, clockwise bool) (c [2]float64, why string) {
	dx, dy := q[0]-p[0], q[1]-p[1]
	d := math.Hypot(dx, dy)
	if d < sameEnd {
		return c, "an arc given by R that ends where it starts"
	}
	h := radius*radius - d*d/4
	if h < 0 {
		if math.Abs(radius) < d/2-radiusSlack {
			return c, "an arc's radius is less than half the way"
		}
		h = 0
	}
	h = math.Sqrt(h) / d
	if clockwise == (radius > 0) {
		h = -h
	}
	return [2]float64{p[0] + dx/2 - h*dy, p[1] + dy/2 + h*dx}, ""
}

// roundness counts arcs whose radii differ, and refuses those where it can't
// be rounding. The first is worth a notice.
func (r *reader) roundness(s []byte, a *circle) (ok bool, err error) {
	off := math.Abs(a.r0 - a.r1)
	if off <= ArcSlack {
		return true, nil
	}
	if off > arcLeast && off > arcGross*math.Max(a.r0, a.r1) {
		return false, r.problem(s, "an arc's end lies off its circle")
	}
	r.st.RoundArcs++
	r.st.ArcError = math.Max(r.st.ArcError, off)
	if r.st.RoundArcs > 1 {
		return true, nil
	}
	return true, r.notice(s, CodeArc, message.New("the radii at the arc's ends differ by over 0.002 mm; spread along it"))
}

// chords cuts the arc so that no chord strays by more than the tolerance: a
// chord over the angle 2 h lies r (1 - cos h) inside.
func (r *reader) chords(a *circle, t *target, feed float64) error {
	radius := math.Max(a.r0, a.r1)
	half := math.Pi / 2
	if ratio := r.opt.Tolerance / radius; ratio < 1 {
		half = 2 * math.Asin(math.Sqrt(ratio/2)) // acos(1 - ratio) without cancellation
	}
	n := int(math.Min(math.Ceil(math.Abs(a.arc)/(2*half)), maxChords))
	n = max(n, 1)
	if r.fine += max(0, n-fewChords); r.fine > mostFine {
		return message.Errorf("line %d: the arcs up to here need over %d straight pieces to stay within the tolerance: export straight moves instead of arcs", r.st.Lines, mostFine)
	}
	from, swivel := r.pos, r.swivel
	u, v, w := r.plane[0], r.plane[1], r.plane[2]
	plane := t.known
	for i := 1; i <= n; i++ {
		if i%askEvery == 0 {
			if err := r.ctx.Err(); err != nil {
				return err
			}
		}
		c := *t
		c.e = t.e / float64(n)
		if i < n {
			f := float64(i) / float64(n)
			sin, cos := math.Sincos(a.start + f*a.arc)
			rad := a.r0 + f*(a.r1-a.r0)
			c.pos[u], c.pos[v] = a.c[0]+rad*cos, a.c[1]+rad*sin
			c.pos[w] = from[w] + f*(t.pos[w]-from[w])
			c.swivel = swivel + f*(t.swivel-swivel)
			c.known = plane & r.known
		}
		if err := r.emitMove(&c, feed, false, true); err != nil {
			return err
		}
	}
	return nil
}
