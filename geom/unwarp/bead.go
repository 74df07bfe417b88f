package unwarp

import (
	"math"

	"conewright/geom/field"
	"conewright/geom/machine"
	"conewright/geom/motion"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// lay brings one bead move back onto its shell, in pieces.
func (c *Corrector) lay(ev *motion.Event) {
	p := c.path(ev)
	speed := ev.Feed
	if speed <= 0 {
		speed = c.travel
	}
	c.place = ev.To
	if _, cut := c.straddles(&p, 0, 1); !cut && c.simple(&p) {
		c.piece(&p, &span{t1: 1}, 1, ev.E, speed)
		return
	}
	c.spans = p.spans(c.spans[:0], &c.rule, c.card.Swivel != nil)
	for i := range c.spans {
		s := &c.spans[i]
		c.step(&p, s)
		c.along(&p, s, ev.E, speed)
		if s.turn > 0 && i+1 < len(c.spans) {
			c.turnOnJump(&p, s.turn)
		}
	}
}

func (c *Corrector) path(ev *motion.Event) path {
	a, c0 := c.zone.Real(ev.From)
	b, c1 := c.zone.Real(ev.To)
	p := newPath(&c.zone.Field, a, b, c0, c1)
	if c.card.Swivel != nil {
		p.held = (c.now.Turn[0] - c.card.Swivel.Zero) * c.card.Swivel.Sense * math.Pi / 180
	}
	return p
}

// simple reports, without transcendental functions, that a path needs no cut.
func (c *Corrector) simple(p *path) bool {
	if !p.line.Straight(c.cut) || !c.overRule(p) {
		return false
	}
	distance := p.line.Apart()
	if c.card.Swivel == nil || math.IsInf(distance, 1) && p.field.Linear() {
		return true
	}
	dx, dy := p.b.X-p.a.X, p.b.Y-p.a.Y
	reach := azimuthTolerance * azimuthMargin * distance
	return dx*dx+dy*dy <= reach*reach && c.tipOff == 0
}

// overRule reports that the bed rule doesn't act on a path that is straight
// within the cut: high above it without finding out how far it hangs through.
func (c *Corrector) overRule(p *path) bool {
	return math.Min(p.raw(0), p.raw(1))-c.cut >= c.rule.Top() || p.lowest() >= c.rule.Top()
}

// along lays one span of a bead in as few pieces as the tolerances allow.
func (c *Corrector) along(p *path, s *span, e, speed float64) {
	for t := s.t0; t < s.t1; {
		next := c.next(p, s, t)
		limit, cut := c.straddles(p, t, next)
		if cut {
			if next = c.reachLimit(p, t, next, limit); next-t < leastSpan {
				c.turnAtLimit(limit)
				continue
			}
		}
		part := e * (next - t)
		if s.ruled {
			share := c.share(p, s, t, next)
			part *= share
			if s.raised || share < 1-1e-9 {
				q := p.at(next)
				c.stat().Ruled.add(c.line+1, r3.Vec{X: q.X, Y: q.Y, Z: c.height(p, s, next)})
			}
		}
		c.piece(p, s, next, part, speed)
		t = next
		if cut {
			c.turnAtLimit(limit)
		}
	}
}

// share returns how much of its filament the piece from t to end gets: the mean
// over the exact path, not over its chord, by Simpson's rule; in several parts
// where the rule's height bends with the azimuth.
func (c *Corrector) share(p *path, s *span, t, end float64) float64 {
	at := func(t float64) float64 { return c.rule.Share(c.height(p, s, t), s.base(p.at(t))) }
	parts := 1
	if s.turns {
		parts = 8
	}
	sum, step := 0.0, (end-t)/float64(parts)
	for i := range parts {
		from := t + float64(i)*step
		sum += (at(from) + 4*at(from+step/2) + at(from+step)) / 6
	}
	return sum / float64(parts)
}

// least returns the rule's least tip height at t within a span.
func (c *Corrector) least(p *path, s *span, t float64) float64 {
	return s.base(p.at(t)) + c.rule.Over(s.normal, p.lean(t))
}

// height returns the tip's height at t within a span.
func (c *Corrector) height(p *path, s *span, t float64) float64 {
	z := p.raw(t)
	if s.ruled {
		z = math.Max(z, c.least(p, s, t))
	}
	return z
}

// turnShare is the share of the tolerance by which the ends of pieces are
// raised over the rule's height where that bends between them.
const turnShare = 1.0 / 8

// margin returns how far the ends of a span's pieces stand over the rule's
// height, so that what lies between them doesn't come under it. A tip off the
// swivel axis bows out between them, and is rounded in plan after its height.
func (c *Corrector) margin(s *span) float64 {
	m := 0.0
	if s.turns {
		m = turnShare * c.cut
	}
	if s.normal.Z < 1 && c.tipOff > 0 {
		m += m + c.unit*s.slope()
	}
	return m
}

// step raises or lowers the tip, without filament, where a bead passes the edge
// of its base: the rule's height jumps there.
func (c *Corrector) step(p *path, s *span) {
	z := c.tipHeight(p, s, s.t0, c.written(p.at(s.t0)))
	if c.known && math.Abs(z-c.now.Z) > c.unit/2 {
		to := c.now
		to.Z = z
		c.move(to, 0, c.travel)
	}
}

// mostAtOnce is how far, degrees, the head turns on a bead where that comes away
// from the axis, at which it held still; for more the bead is broken.
const mostAtOnce = 20.0

// piece writes the end of a piece.
func (c *Corrector) piece(p *path, s *span, t, e, speed float64) {
	q := c.written(p.at(t))
	z := c.tipHeight(p, s, t, q)
	stat := c.stat()
	stat.ContactFilament += e
	c.offSquare(p, t, stat)
	word := c.unwind(c.swivelAt(p, t, q))
	near := p.nearTurn(q)
	if c.onAxis && math.Abs(word-c.now.Turn[0]) > mostAtOnce && !near {
		c.breakTo(word)
	}
	c.onAxis = near
	to := machine.Words{X: q.X, Y: q.Y, Z: z, Turn: machine.Turn{word}}
	if c.tipOff > 0 {
		to = c.wordsAt(r3.Vec{X: q.X, Y: q.Y, Z: z}, to.Turn[0])
	}
	c.top, c.highest = math.Max(c.top, math.Max(c.now.Z, z)), math.Max(c.highest, p.c(t))
	if c.zone.Last {
		c.move(to, e, speed)
		return
	}
	from := c.pose().Tip
	c.move(to, e, speed)
	c.ground.lay(from, c.pose().Tip)
}

// tipHeight returns the height that is written at t: that of the shell at q, the
// place that is written for it, rounded toward the side of the shell from which the
// chord hangs away (rounding then takes nothing of the tolerance), and never
// below the rule's height.
func (c *Corrector) tipHeight(p *path, s *span, t float64, q r2.Vec) float64 {
	z := p.c(t) - p.field.At(q)
	if p.field.Curvature() == field.Concave {
		z = -c.roundUp(-z)
	} else {
		z = c.roundUp(z)
	}
	if !s.ruled {
		return z
	}
	return math.Max(z, c.roundUp(s.base(q)+c.rule.Over(s.normal, p.lean(t))+c.margin(s)))
}

// written returns a plan place as its words say it.
func (c *Corrector) written(q r2.Vec) r2.Vec {
	if c.tipOff > 0 {
		return q // the words are those of the swivel axis
	}
	d := c.card.Decimals.XYZ
	return r2.Vec{X: motion.Round(q.X, d), Y: motion.Round(q.Y, d)}
}

// offSquare notes how far from square the nozzle stands on the shell.
func (c *Corrector) offSquare(p *path, t float64, stat *ZoneStats) {
	slope := p.field.Slope()
	if !p.field.EvenSlope() {
		g, _ := p.field.Grad(p.at(t))
		slope = math.Hypot(g.X, g.Y)
	} else if stat.offSquareSeen {
		return // the same all over the zone
	}
	stat.offSquareSeen = true
	if off := math.Abs(c.card.Head.Tilt*math.Pi/180 - math.Atan(slope)); off > stat.OffSquare {
		q := p.at(t)
		stat.OffSquare, stat.OffSquareAt = off, r3.Vec{X: q.X, Y: q.Y, Z: p.raw(t)}
	}
}
