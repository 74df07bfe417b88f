package unwarp

import (
	"math"

	"conewright/geom/field"
	"conewright/geom/motion"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// shortTravel is how far the head may go on an inward cone's shell without
// lifting over the part, mm: a few beads, where the far wall is no nearer than
// it was on the beads themselves (common practice, no source).
const shortTravel = 2.0

// shortTurn is how far it may turn there, radians: near the axis a short way
// swings the whole head across the bowl.
const shortTurn = math.Pi / 4

// arrives reports whether the source's way ends with the swivel near word, so
// that nothing has to be unwound on the shell.
func (c *Corrector) arrives(word float64) bool {
	if s := c.swivel; s == nil || s.Range == nil {
		return true
	}
	w := c.word()
	for i := range c.gap {
		if ev := &c.gap[i]; ev.Kind == motion.Move && ev.From != ev.To {
			w = c.endWord(ev, w)
			if !c.inRange(w) {
				return false
			}
		}
	}
	return math.Abs(w-word) < 180
}

// followable reports whether the source's way to ev is safe on the shells. All
// that is printed of this zone lies under its shell, so the way is free unless
// it sinks to shells that are printed already, or the head leans across the
// axis, or something of earlier zones or on the bed stands in its way.
func (c *Corrector) followable(ev *motion.Event) bool {
	if !c.known {
		return false
	}
	at, length, turned := c.place, 0.0, 0.0
	for i := range c.gap {
		g := &c.gap[i]
		if g.Kind != motion.Move || g.From == g.To {
			continue
		}
		if g.From != at {
			return false
		}
		at = g.To
		p := c.path(g)
		length += math.Hypot(p.b.X-p.a.X, p.b.Y-p.a.Y)
		turned += p.line.Turn(0, 1)
		if !c.free(&p) {
			return false
		}
		if c.zone.Field.Curvature() == field.Concave && p.line.Apart() < c.rule.rim {
			return false // the rim reaches across the axis into the far wall
		}
	}
	if bends := c.zone.Field.Curvature(); bends != field.Convex && bends != field.Linear && (length > shortTravel || turned > shortTurn) {
		return false
	}
	return at == ev.From
}

// free reports whether nothing stands in a way on the shells.
func (c *Corrector) free(p *path) bool {
	if math.Min(p.c0, p.c1) < c.highest-c.zone.LayerHeight/2 {
		return false // one object after the other, or a way through what is printed
	}
	if len(c.peaks) == 0 {
		return true
	}
	if c.nozzle.follows {
		return false // the head's underside is known for one lean
	}
	floor := c.floor(p)
	if p.lowest() < floor-mostRaised {
		return false
	}
	n := int(math.Hypot(p.b.X-p.a.X, p.b.Y-p.a.Y)/lookStep) + 1
	for i := range n + 1 {
		t := float64(i) / float64(n)
		q := p.tip(t)
		if !c.under().clears(c.peaks, r3.Vec{X: q.X, Y: q.Y, Z: math.Max(p.raw(t)-p.sunk(t), floor)}, p.lean(t)) {
			return false
		}
	}
	return true
}

// under returns the head's underside, made when it is first asked for.
func (c *Corrector) under() *underside {
	if c.head == nil {
		c.head = newUnderside(c.card, c.nozzle.lean)
	}
	return c.head
}

// lookStep is the distance of places where a way on the shells is looked at, mm.
const lookStep = 1.0

// mostRaised is how far a way on the shells may be raised over what lies under
// it, mm: it ends with a step down as high.
const mostRaised = 1.0

// follow makes the gap's events in their order.
func (c *Corrector) follow() {
	c.offShell()
	for i := range c.gap {
		ev := &c.gap[i]
		switch {
		case ev.Kind != motion.Move:
			c.pass(ev.Text)
		case ev.From == ev.To:
			c.draw(c.depth - ev.E)
			c.depth0 -= ev.E
		default:
			c.glide(ev)
			c.depth0 -= ev.E
		}
	}
}

// offShell lifts the tip off the shell before a way on it, as high as the way goes.
func (c *Corrector) offShell() {
	for i := range c.gap {
		if ev := &c.gap[i]; ev.Kind == motion.Move && ev.From != ev.To {
			p := c.path(ev)
			if lift := c.lift(&p); lift > 0 {
				c.move(c.atHeight(c.roundUp(c.tipZ()+lift, c.now.Turn)), 0, c.travel)
			}
			return
		}
	}
}

// lift returns how far above its place for a bead the tip travels on a shell, mm:
// the rim of a nozzle off square reaches as deep below the shell as that.
func (c *Corrector) lift(p *path) float64 {
	most := 0.0
	for _, t := range [...]float64{0, 0.5, 1} {
		g, _ := p.field.Grad(p.at(t))
		slope := math.Hypot(g.X, g.Y)
		n := c.nozzle.on(slope)
		off := n.offSquare(g)
		most = math.Max(most, c.rule.rim*math.Sin(off)*math.Sqrt(1+slope*slope))
	}
	if most < leastLift {
		return 0
	}
	return most
}

// leastLift, mm, is how deep a rim may go without ploughing: a fraction of what a
// bead is higher than its neighbours.
const leastLift = 0.02

// glide makes a travel on the shells, in pieces; the bed, and what carries the
// zone, stay below the tip.
func (c *Corrector) glide(ev *motion.Event) {
	p := c.path(ev)
	speed := ev.Feed
	if speed <= 0 {
		speed = c.opt.TravelSpeed * 60
	}
	if ev.E == 0 {
		c.travel = speed
	}
	lift := c.lift(&p)
	floor := c.floor(&p) - lift
	marks := []float64{0, 1}
	switch over := func(t float64) float64 { return p.raw(t) - p.sunk(t) - floor }; {
	case p.lowest() >= floor+c.zone.LayerHeight/2 || !c.nozzle.tilted() && p.lowest() >= floor:
	case p.sinks():
		p.stretches(0, 1, func(t0, t1 float64) { marks = root(marks, over, t0, t1) })
	default:
		marks = p.levels(marks, 0, 1, floor+p.sunk(0.5), 0)
	}
	var jumps []field.Jump
	if c.swivel != nil {
		jumps = p.line.Jumps(nil, axisReach)
	}
	for _, j := range jumps {
		marks = append(marks, j.T)
	}
	sortFloats(marks)
	c.turnToGlide(&p)
	for i := 1; i < len(marks); i++ {
		c.glideAlong(&p, marks[i-1], marks[i], floor, lift, ev.E, speed)
		for k, j := range jumps {
			if j.T != marks[i] {
				continue
			}
			to := 1.0 // as the head stands at the end, or where it turns next
			if k+1 < len(jumps) {
				to = jumps[k+1].Before
			}
			if azimuth, ok := p.field.Azimuth(p.beside(p.at(to), to, true)); ok {
				c.turn(c.legal(c.nearest(c.card.SwivelWord(azimuth))))
			}
		}
	}
}

// turnToGlide turns the head where a travel begins on an axis or a crease and the
// head leans otherwise than the way asks for: on the way it would sweep through the
// shells that fall away from there.
func (c *Corrector) turnToGlide(p *path) {
	if c.swivel == nil || !c.nozzle.tilted() || !p.nearAxis(p.a) && !(p.field.Crease(p.a) < eitherSide) {
		return
	}
	word := c.legal(c.nearest(c.card.SwivelWord(p.leanBeside(0, false))))
	if math.Abs(word-c.word()) > mostAtOnce {
		c.turn(word)
	}
}

// glideAlong makes a stretch of a travel, lifted over the shell, or over floor
// where that is higher.
func (c *Corrector) glideAlong(p *path, t, end, floor, lift, e, speed float64) {
	mid := (t + end) / 2
	raised := p.raw(mid)-p.sunk(mid) < floor
	for t < end {
		next := end
		if !raised {
			next = math.Min(next, p.line.ReachPlain(t, c.cut))
		}
		if c.swivel != nil {
			next = p.line.ReachAzimuth(t, next, azimuthTolerance)
		}
		if c.nozzle.follows {
			next = math.Min(next, t+leanStep/math.Max(r2.Norm(r2.Sub(p.b, p.a)), leanStep))
		}
		if c.bows() {
			next = c.reachBow(p, t, next, c.cut)
		}
		if next-t < 1e-9 || end-next < 1e-9 {
			next = end
		}
		word := c.legal(c.wordAt(p, next))
		turn := c.turnOn(p, next, word)
		z := c.roundUp(math.Max(p.raw(next)-p.sunk(next), floor)+lift, turn)
		q := p.tip(next)
		c.depth -= e * (next - t)
		c.move(c.wordsTurned(r3.Vec{X: q.X, Y: q.Y, Z: z}, turn), e*(next-t), speed)
		t = next
	}
}

// floor is the least height of the tip on a way on the shells: over the zone's
// base, and over what stands beside it.
func (c *Corrector) floor(p *path) float64 {
	if len(c.peaks) == 0 {
		if c.zone.Base == nil {
			return c.level
		}
		return c.zone.Base.Top() + c.level
	}
	high := 0.0
	n := int(math.Hypot(p.b.X-p.a.X, p.b.Y-p.a.Y)/(terrainCell/2)) + 1
	for i := range n + 1 {
		t := float64(i) / float64(n)
		q := p.tip(t)
		b, normal := c.rule.Base(q, p.raw(t))
		if b > 0 {
			stands := p.nozzleAt(t)
			high = math.Max(high, b+c.rule.Over(normal, stands.axis(p.lean(t))))
			continue
		}
		high = math.Max(high, c.before.at(q)+c.level)
	}
	return high
}
