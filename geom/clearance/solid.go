package clearance

import (
	"math"

	"conewright/geom/machine"

	"gonum.org/v1/gonum/spatial/r3"
)

// lowest is the lowest point of the head, x toward the lean, z upright. Its height
// over the bed doesn't depend on the azimuth, so that the bed is exact at no cost.
type lowest struct {
	p    r3.Vec
	part Part
}

// lowest returns the lowest point of the head that is at least free from the
// tip, where the head leans by so much.
func (s *shape) lowest(free, lean float64) lowest {
	sin, cos := s.leant(lean)
	l := lowest{p: r3.Vec{Z: math.Inf(1)}}
	rim := func(a, r float64, i int) {
		if z := a*cos - r*sin; z < l.p.Z {
			l = lowest{r3.Vec{X: a*sin + r*cos, Z: z}, Part{Index: i}}
		}
	}
	for i, p := range s.profile {
		if d := math.Hypot(p[0], p[1]); d >= free {
			rim(p[0], p[1], max(0, i-1))
		}
		if i == 0 {
			continue
		}
		if t, ok := leave(s.profile[i-1], p, free); ok { // where the cone leaves tip_free
			q := s.profile[i-1]
			rim(q[0]+t*(p[0]-q[0]), q[1]+t*(p[1]-q[1]), i-1)
		}
	}
	for i, b := range s.leantBoxes(lean) {
		if z := b.c.Z - b.h.Z; z < l.p.Z {
			l = lowest{r3.Vec{X: b.c.X, Y: b.c.Y, Z: z}, Part{Box: true, Index: i}}
		}
	}
	return l
}

// leave returns where along p to q, 0 to 1, the distance from the origin
// becomes r.
func leave(p, q [2]float64, r float64) (t float64, ok bool) {
	if math.Hypot(p[0], p[1]) >= r || math.Hypot(q[0], q[1]) <= r {
		return 0, false
	}
	dx, dy := q[0]-p[0], q[1]-p[1]
	a, b, c := dx*dx+dy*dy, p[0]*dx+p[1]*dy, p[0]*p[0]+p[1]*p[1]-r*r
	return (-b + math.Sqrt(b*b-a*c)) / a, true
}

// over returns where a place of the head is at the lower end of a move.
func (l *lowest) over(a, b machine.Pose) r3.Vec {
	if b.Tip.Z < a.Tip.Z {
		a = b
	}
	sin, cos := math.Sincos(a.Azimuth)
	return r3.Vec{X: a.Tip.X + l.p.X*cos - l.p.Y*sin, Y: a.Tip.Y + l.p.X*sin + l.p.Y*cos, Z: a.Tip.Z + l.p.Z}
}

// bed returns the hit of a move on the bed.
func (s *solids) bed(a, b machine.Pose) hit {
	drop, _ := s.lowestOf(a, b)
	if d := min(a.Tip.Z, b.Tip.Z) + drop.p.Z; d < -bedTolerance {
		return hit{depth: -d, part: drop.part, at: drop.over(a, b)}
	}
	return hit{}
}

// obstacle is a box on the bed, shrunk by contactTolerance.
type obstacle struct {
	b     box
	thick box // unshrunk
}

func newObstacle(b machine.Box) obstacle {
	o := obstacle{thick: newBox(b)}
	o.b = o.thick
	t := contactTolerance
	o.b.h = r3.Vec{X: max(0, o.b.h.X-t), Y: max(0, o.b.h.Y-t), Z: max(0, o.b.h.Z-t)}
	return o
}

// noGap is the distance, mm, that alternating projections count as none: they
// near a place that both share step by step, and seldom reach it. It is a tenth
// of what the obstacle was shrunk by.
const noGap = contactTolerance / 10

// meet looks for obstacle k in the way of a piece of the move.
func (s *search) meet(k int, t0, t1 float64, h *hit) {
	f := s.frame(t0, t1)
	o := &s.obstacles[k]
	slip := f.run + (f.turn+f.swing)*s.c.head.width(&f)
	if s.c.head.farFrom(o, &f, s.lowestIn(s.a, s.b), max(s.best+contactTolerance, 0)+slip) {
		return
	}
	clear := math.Inf(1) // of the head at mid, seen from the shrunk obstacle
	for i := range s.c.head.pieces {
		pc := &s.c.head.pieces[i]
		lower, upper, at := s.apart(pc, o, &f)
		clear = min(clear, lower)
		if d := upper - contactTolerance; upper > noGap && d < s.best {
			s.best = d
			s.at = Nearest{Distance: d, At: at, Step: s.now, Part: pc.part, Target: Obstacle, Obstacle: k, t: f.t, half: f.half}
		}
		if upper > noGap {
			continue
		}
		depth := s.depth(at, o, &f)
		if depth > h.depth {
			*h = hit{depth: depth, part: pc.part, at: at}
		}
		if -depth < s.best {
			s.best = -depth
			s.at = Nearest{Distance: -depth, At: at, Step: s.now, Part: pc.part, Target: Obstacle, Obstacle: k, t: f.t, half: f.half}
		}
	}
	if h.depth > 0 || clear > slip || slip <= finestSlip {
		return
	}
	mid := (t0 + t1) / 2
	s.meet(k, t0, mid, h)
	if h.depth == 0 {
		s.meet(k, mid, t1, h)
	}
}

// farFrom reports that no part of the head comes within d of the obstacle,
// judged by the cylinder about the tip that holds the head, down to its lowest
// place.
func (s *shape) farFrom(o *obstacle, f *frame, drop lowest, d float64) bool {
	dx := max(0, math.Abs(f.tip.X-o.b.c.X)-o.b.h.X)
	dy := max(0, math.Abs(f.tip.Y-o.b.c.Y)-o.b.h.Y)
	return math.Hypot(dx, dy) > s.width(f)+d || f.tip.Z+drop.p.Z-(o.b.c.Z+o.b.h.Z) > d
}

// depth estimates how deep an obstacle reaches into the head near a common
// place, by walking to the place deepest inside along the axes.
func (s *search) depth(at r3.Vec, o *obstacle, f *frame) float64 {
	inside := func(p r3.Vec) float64 {
		return -s.c.head.touch(&probe{c: f.local(p), limit: math.Inf(1)}).low
	}
	deep := inside(at)
	for step := 4.0; step > fineness; {
		moved := false
		for _, d := range [6]r3.Vec{{X: step}, {X: -step}, {Y: step}, {Y: -step}, {Z: step}, {Z: -step}} {
			p := o.thick.clamp(r3.Add(at, d))
			if e := inside(p); e > deep+1e-9 {
				at, deep, moved = p, e, true
			}
		}
		if !moved {
			step /= 2
		}
	}
	return max(deep, contactTolerance)
}

func (b *box) clamp(p r3.Vec) r3.Vec {
	q := r3.Sub(p, b.c)
	return r3.Add(b.c, r3.Vec{
		X: min(max(q.X, -b.h.X), b.h.X), Y: min(max(q.Y, -b.h.Y), b.h.Y), Z: min(max(q.Z, -b.h.Z), b.h.Z)})
}
