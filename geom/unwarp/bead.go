package unwarp

import (
	"math"

	"conewright/geom/field"
	"conewright/geom/machine"
	"conewright/geom/motion"
	"conewright/geom/placement"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// lay brings one bead move back onto its shell. Where it comes onto a line of the
// field and runs along that, it is two: the head turns between them.
func (c *Corrector) lay(ev *motion.Event) {
	p := c.path(ev)
	from, part := 0.0, *ev
	for _, t := range p.ontoLines() {
		part.E = (t - from) * ev.E
		part.To = r3.Add(ev.From, r3.Scale(t, r3.Sub(ev.To, ev.From)))
		c.layPart(c.path(&part), &part)
		from, part.From = t, part.To
	}
	if from > 0 {
		part.E, part.To = (1-from)*ev.E, ev.To
		p = c.path(&part)
	}
	c.layPart(p, &part)
}

// layPart lays a part of a bead move, in pieces.
func (c *Corrector) layPart(p path, ev *motion.Event) {
	speed := ev.Feed
	if speed <= 0 {
		speed = c.travel
	}
	c.place = ev.To
	if _, cut := c.straddles(&p, 0, 1); !cut && !(p.field.Crease(p.a) < eitherSide) && c.simple(&p) {
		c.piece(&p, &span{t1: 1}, 0, 1, ev.E, speed)
		return
	}
	c.spans = p.spans(c.spans[:0], &c.rule, c.swivel != nil && !p.along)
	p.lo, p.hi = c.spans[0].lo, c.spans[0].hi
	c.turnOnCrease(&p, &c.spans[0])
	for i := range c.spans {
		s := &c.spans[i]
		c.step(&p, s)
		c.along(&p, s, ev.E, speed)
		if i+1 < len(c.spans) {
			p.lo, p.hi = c.spans[i+1].lo, c.spans[i+1].hi
			if s.turn > 0 {
				c.turnOnJump(&p, s)
			}
		}
	}
}

func (c *Corrector) path(ev *motion.Event) path {
	a, c0 := c.zone.Real(ev.From)
	b, c1 := c.zone.Real(ev.To)
	p := path{field: &c.zone.Field, a: a, b: b, c0: c0, c1: c1, line: c.zone.Field.Along(a, b), nozzle: &c.nozzle, hi: 1}
	if c.swivel != nil {
		p.held = c.azimuthOf(c.word())
		p.runAlong()
	}
	return p
}

// simple reports, without transcendental functions, that a path needs no cut.
func (c *Corrector) simple(p *path) bool {
	if !p.line.Straight(c.cut) || !c.overRule(p) {
		return false
	}
	distance := p.line.Apart()
	if c.swivel == nil && !c.nozzle.tilted() || math.IsInf(distance, 1) && p.field.Linear() {
		return true
	}
	if c.nozzle.tilted() && !p.line.Straight(c.cut/(1+c.nozzle.reach()/distance)) {
		return false // the tip's chord hangs farther through than the bead's
	}
	dx, dy := p.b.X-p.a.X, p.b.Y-p.a.Y
	reach := azimuthTolerance * azimuthMargin * distance
	return dx*dx+dy*dy <= reach*reach && !c.apart
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
		c.piece(p, s, t, next, part, speed)
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
	at := func(t float64) float64 { return c.rule.Share(c.height(p, s, t), s.bead.height(p.at(t))) }
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

// height returns the path's height at t within a span (see raw), after the rule.
func (c *Corrector) height(p *path, s *span, t float64) float64 {
	z := p.raw(t)
	if s.ruled {
		z = math.Max(z, p.least(s, &c.rule, t))
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
	if s.tip.normal.Z < 1 && c.apart {
		m += m + c.unit*s.tip.slope()
	}
	return m
}

// step raises or lowers the tip, without filament, where a bead passes the edge
// of its base: the rule's height jumps there.
func (c *Corrector) step(p *path, s *span) {
	z := c.stand(p, s, s.t0, c.word()).Z
	rounded := c.unit/2 + 2*c.slant.up
	if c.turning.tilts {
		rounded += c.unit
	}
	if c.known && math.Abs(z-c.tipZ()) > rounded {
		c.move(c.atHeight(z), 0, c.travel)
	}
}

// mostAtOnce is how far, degrees, the head turns on a bead where that comes away
// from the axis, at which it held still; for more the bead is broken.
const mostAtOnce = 20.0

// piece writes the piece of a path from t0 to t.
func (c *Corrector) piece(p *path, s *span, t0, t, e, speed float64) {
	stat := c.stat()
	if c.marked {
		stat.SupportFilament += e
	} else {
		stat.ContactFilament += e
	}
	c.offSquare(p, t, stat)
	word := c.unwind(c.wordAt(p, t))
	near := p.nearAxis(p.at(t))
	if c.onAxis && math.Abs(word-c.word()) > mostAtOnce && (!near || p.aboutLine()) {
		c.breakTo(c.standing(p, s, t0, word))
	}
	c.onAxis = near
	tip := c.stand(p, s, t, word)
	turn := c.turnOn(p, t, word)
	to := machine.Words{X: tip.X - c.shift.X, Y: tip.Y - c.shift.Y, Z: tip.Z - c.shift.Z, Turn: turn}
	if c.apart || c.shift != (r3.Vec{}) {
		to = c.wordsTurned(tip, turn)
	}
	c.top, c.highest = math.Max(c.top, math.Max(c.tipZ(), tip.Z)), math.Max(c.highest, p.c(t))
	if c.zone.Last {
		c.move(to, e, speed)
		return
	}
	from := c.pose().Tip
	c.move(to, e, speed)
	c.ground.lay(from, c.pose().Tip)
}

// wordAt returns the swivel word for the end of a piece at t: that of the
// gradient at the middle of the bead, as the words say it where they tell it.
func (c *Corrector) wordAt(p *path, t float64) float64 {
	q := p.at(t)
	if p.field.Within(q, coarseAxis) { // a rounded place would turn the head by degrees
		return c.swivelAt(p, t, q)
	}
	if !c.nozzle.tilted() {
		return c.swivelAt(p, t, c.written(q))
	}
	o := p.offset(t, true)
	w := c.written(r2.Vec{X: q.X + o.X, Y: q.Y + o.Y})
	word := c.swivelAt(p, t, r2.Vec{X: w.X - o.X, Y: w.Y - o.Y})
	if !p.field.Within(q, closeAxis) {
		return word
	}
	n := p.nozzleAt(t)
	for range 3 { // the head's turn by what the rounding of the tip moves the bead
		d := n.axis(c.azimuthOf(word))
		o = placement.Offset(p.gradient(q, t, d), c.nozzle.layer, d)
		w = c.written(r2.Vec{X: q.X + o.X, Y: q.Y + o.Y})
		word = c.swivelAt(p, t, r2.Vec{X: w.X - o.X, Y: w.Y - o.Y})
	}
	return word
}

// closeAxis is how near the axis, mm, the rounding of a word turns the head by so
// much that this moves the bead again.
const closeAxis = 1.0

// stand returns where the tip stands to lay the bead at t while the swivel is at
// word. Its height is rounded toward the side of the shell from which the chord
// hangs away (rounding then takes nothing of the tolerance), and never below the
// rule's height.
func (c *Corrector) stand(p *path, s *span, t, word float64) r3.Vec {
	q := p.at(t)
	axis, sunk := r3.Vec{Z: 1}, 0.0
	w := c.written(q) // the tip's place
	bead := w         // the bead's
	if c.nozzle.tilted() {
		n := p.nozzleAt(t)
		axis = n.axis(c.azimuthOf(word))
		o := placement.Offset(p.gradient(q, t, axis), c.nozzle.layer, axis)
		sunk = c.nozzle.layer/2 - o.Z
		w = c.written(r2.Vec{X: q.X + o.X, Y: q.Y + o.Y})
		bead = r2.Vec{X: w.X - o.X, Y: w.Y - o.Y}
	}
	z := p.c(t) - p.field.At(bead) - sunk
	turn := c.turnOn(p, t, word)
	if p.field.Curvature() == field.Concave {
		z = c.roundDown(z, turn)
	} else {
		z = c.roundUp(z, turn)
	}
	if s.ruled {
		z = math.Max(z, c.roundUp(s.tip.height(w)+c.rule.Over(s.tip.normal, axis)+c.margin(s), turn))
	}
	return r3.Vec{X: w.X, Y: w.Y, Z: z}
}

// standing returns the words at which the bead at t is laid while the swivel is at
// word.
func (c *Corrector) standing(p *path, s *span, t, word float64) machine.Words {
	return c.wordsTurned(c.stand(p, s, t, word), c.turnOn(p, t, word))
}

// azimuthOf returns the azimuth, radians, that a swivel word stands for.
func (c *Corrector) azimuthOf(word float64) float64 {
	return c.card.AzimuthOf(word)
}

// written returns a plan place as its words say it.
func (c *Corrector) written(q r2.Vec) r2.Vec {
	if c.apart {
		return q // the words are those of the swivel axis
	}
	d := c.card.Decimals.XYZ
	return r2.Vec{X: motion.Round(q.X-c.shift.X, d) + c.shift.X, Y: motion.Round(q.Y-c.shift.Y, d) + c.shift.Y}
}

// offSquare notes how far from square the nozzle stands on the shell.
func (c *Corrector) offSquare(p *path, t float64, stat *ZoneStats) {
	even := p.field.EvenSlope() && (!c.nozzle.fixed || p.field.Linear())
	if even && stat.offSquareSeen {
		return // the same all over the zone
	}
	g := r2.Vec{X: p.field.Slope()}
	if c.nozzle.fixed || !even {
		g, _ = p.field.Grad(p.at(t))
	}
	stat.offSquareSeen = true
	n := c.nozzle.on(math.Hypot(g.X, g.Y))
	if off := n.offSquare(g); off > stat.OffSquare {
		q := p.tip(t)
		stat.OffSquare, stat.OffSquareAt = off, r3.Vec{X: q.X, Y: q.Y, Z: p.raw(t) - p.sunk(t)}
	}
}
