package unwarp

import (
	"math"

	"conewright/geom/field"
	"conewright/geom/machine"
	"conewright/geom/motion"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// crossing is how far above all that is printed the tip crosses the part, mm:
// more than the rim of a tilted nozzle reaches below its tip, with room for a
// curled edge (common practice, no source).
const crossing = 2.0

// firstCrossing is the least height of the first way across the bed, mm, whose
// clips and leftovers aren't known (common practice, no source).
const firstCrossing = 10.0

// reach brings the tip to the start of the bead that begins with ev: the way
// that the source went where that is safe on the shells, else over the part.
func (c *Corrector) reach(ev *motion.Event) {
	if len(c.gap) == 0 && !c.stale && ev.From == c.place {
		return
	}
	word := c.startWord(ev)
	if c.stale || !c.followable(ev) || !c.arrives(word) {
		c.jump(ev, word)
	} else {
		c.follow()
		c.settle(ev, word)
		c.recount()
	}
	c.gap = c.gap[:0]
	c.stale, c.fresh, c.onAxis = false, false, false
	c.place = ev.From
	c.primed()
}

// primed takes a bead's beginning for the place where nothing is drawn back,
// whatever the sums say: returning a little more or less than was drawn back is
// a choice of the source, digits get lost in rounding, and neither may add up.
func (c *Corrector) primed() {
	c.depth -= c.depth0
	c.depth0 = 0
}

// settle brings height and swivel from where a followed travel ended to what
// the bead needs.
func (c *Corrector) settle(ev *motion.Event, word float64) {
	if s := c.swivel; s != nil {
		if s.Range == nil {
			word = c.nearest(word)
		}
		if c.word() != word {
			c.turn(word)
		}
		if c.nozzle.follows {
			p := c.path(ev)
			c.stillTurn(c.turnOn(&p, 0, word), c.cut)
		}
	}
	p := c.path(ev)
	tip := c.start(&p, word)
	to := c.atHeight(tip.Z)
	if c.nozzle.tilted() { // the tip's place depends on the azimuth
		to = c.wordsTurned(tip, c.turnOn(&p, 0, c.word()))
	}
	c.move(to, 0, c.travel)
}

// jump goes to the start of ev over the part, with the filament drawn back.
func (c *Corrector) jump(ev *motion.Event, word float64) {
	c.stat().Replanned++
	drawn := c.depth
	for i := range c.gap {
		if g := &c.gap[i]; g.Kind == motion.Move {
			c.depth0 -= g.E
			drawn = math.Max(drawn, c.depth0)
			if g.E == 0 && g.Feed > 0 && g.From != g.To {
				c.travel = g.Feed
			}
		}
	}
	if c.fresh {
		c.depth0 = 0 // whatever the file did before its first bead is done with
	}
	if c.known {
		c.draw(math.Max(drawn, c.card.Retract.Length))
	}
	p := c.path(ev)
	tip := c.start(&p, word)
	if !c.nozzle.tilted() {
		tip.X, tip.Y = p.a.X, p.a.Y
	}
	if c.fresh && c.known { // words before a zone may make the machine wait: not on the part
		c.up(c.safe(tip.Z))
	}
	c.words()
	if c.swivel != nil && math.Abs(word-c.word()) > 270 {
		c.stats.Unwound++
	}
	c.over(c.wordsTurned(tip, c.turnOn(&p, 0, word)))
	c.recount()
	c.draw(c.depth0)
}

// start returns where the tip stands at the start of a bead, with the swivel at
// word.
func (c *Corrector) start(p *path, word float64) r3.Vec {
	spans := p.spans(c.spans[:0], &c.rule, false)
	s := &spans[0]
	return c.stand(p, s, s.t0, word)
}

// over goes to a place above all that is printed: up along the nozzle's axis,
// which can't touch what the standing head didn't, across, and down along the
// nozzle's axis there.
func (c *Corrector) over(to machine.Words) {
	goal := c.card.Pose(to)
	safe := math.Max(c.safe(goal.Tip.Z), c.overBeside(goal, to.Turn))
	if c.known {
		safe = math.Max(safe, c.overBeside(c.pose(), c.now.Turn))
	}
	if !c.known {
		c.blind(goal, safe, to.Turn)
	} else {
		c.up(safe)
	}
	c.lean(to.Turn)
	above := c.alongAxis(goal, safe)
	c.move(c.wordsTurned(r3.Vec{X: above.X, Y: above.Y, Z: c.roundUp(safe, to.Turn)}, to.Turn), 0, c.travel)
	if top := (r3.Vec{X: above.X, Y: above.Y}); above.Z < safe-1e-9 { // the axis would leave the machine's travel
		c.move(c.wordsTurned(r3.Vec{X: top.X, Y: top.Y, Z: c.roundUp(above.Z, to.Turn)}, to.Turn), 0, c.travel)
	}
	c.move(to, 0, c.travel)
}

// safe returns the height at which the tip crosses.
func (c *Corrector) safe(goal float64) float64 {
	z := math.Max(c.top, goal)
	z = math.Max(z, c.obstacleTop())
	if !c.known {
		z = math.Max(z, firstCrossing-crossing)
	}
	// A head may reach lower than its tip.
	return math.Max(math.Min(z+crossing-math.Min(0, c.headLow()), c.ceiling()), goal)
}

// up lifts the tip to safe along the nozzle's axis, as far as travel allows,
// then straight.
func (c *Corrector) up(safe float64) {
	if c.tipZ() >= safe {
		return
	}
	above := c.alongAxis(c.pose(), safe)
	c.move(c.wordsTurned(r3.Vec{X: above.X, Y: above.Y, Z: c.roundUp(above.Z, c.now.Turn)}, c.now.Turn), 0, c.travel)
	if above.Z < safe-1e-9 {
		c.move(c.atHeight(c.roundUp(safe, c.now.Turn)), 0, c.travel)
	}
}

// alongAxis returns the tip of a pose moved up along its nozzle axis to height
// z, or as far as the machine's travel allows. Deep in a bowl it is moved straight
// up.
func (c *Corrector) alongAxis(p machine.Pose, z float64) r3.Vec {
	axis := c.card.Axis(p)
	if c.inBowl(p.Tip, axis) {
		return r3.Vec{X: p.Tip.X, Y: p.Tip.Y, Z: math.Max(z, p.Tip.Z)}
	}
	reach := math.Max(0, z-p.Tip.Z) / axis.Z
	w := c.card.Words(p)
	words := axis // how the words of X and Y go along the axis
	switch {
	case c.bed != nil && !c.slant.is:
		words = c.card.NozzleAxis(0)
	case c.skew:
		there := c.card.Words(machine.Pose{Tip: r3.Add(p.Tip, axis), Azimuth: p.Azimuth, Lean: p.Lean})
		words = r3.Vec{X: there.X - w.X, Y: there.Y - w.Y, Z: there.Z - w.Z}
		reach = math.Min(reach, room(w.Z, words.Z, c.card.Travel.Z))
	}
	reach = math.Min(reach, room(w.X, words.X, c.card.Travel.X))
	reach = math.Min(reach, room(w.Y, words.Y, c.card.Travel.Y))
	return r3.Add(p.Tip, r3.Scale(reach, axis))
}

// inBowl reports whether the way along the nozzle's axis from a tip would drag the
// rim along the far wall of a bowl: the shells of an inward field rise all round
// its axis, and the nozzle leans across it. All of the zone's beads lie under its
// shell, so straight up leads away from them.
func (c *Corrector) inBowl(tip, axis r3.Vec) bool {
	sin := math.Hypot(axis.X, axis.Y)
	if c.zone == nil || sin == 0 {
		return false
	}
	f := &c.zone.Field
	if bends := f.Curvature(); bends == field.Convex || bends == field.Linear {
		return false
	}
	// At r from the axis of a cone as steep as the nozzle leans, the far wall lies
	// 2 r sin from the nozzle's axis, square to it.
	return f.Within(r2.Vec{X: tip.X, Y: tip.Y}, bowlMargin*c.rule.rim/(2*sin))
}

// bowlMargin is by how much more than its rim a nozzle keeps off the far wall:
// beads stand over their shell's upper face by what rounding and chords do.
const bowlMargin = 1.2

// room returns how far one may go from x with speed d before leaving the range.
func room(x, d float64, within [2]float64) float64 {
	switch {
	case d > 1e-9:
		return math.Max(0, (within[1]-x)/d)
	case d < -1e-9:
		return math.Max(0, (within[0]-x)/d)
	}
	return math.Inf(1)
}

// blind goes from an unknown place to above the goal: first up, then across.
func (c *Corrector) blind(goal machine.Pose, safe float64, turn machine.Turn) {
	above := c.alongAxis(goal, safe)
	if c.turning.tilts { // a bed stays level until the tip stands over its place
		turn[c.turning.lean] = c.card.Turning()[c.turning.lean].Zero
		c.blindly(c.wordsTurned(r3.Vec{X: above.X, Y: above.Y, Z: safe}, turn))
		return
	}
	to := c.wordsTurned(r3.Vec{X: above.X, Y: above.Y, Z: c.roundUp(safe, turn)}, turn)
	if c.turning.leans && !c.slant.is { // so high that the tip clears the bed while the head leans
		to.Z = math.Min(math.Max(to.Z, motion.Round(safe-c.leastLoft(turn), c.card.Decimals.XYZ)), c.card.Travel.Z[1])
	}
	if c.turning.leans && c.slant.is {
		low := c.leastLoft(turn) - c.loft(turn) // the tip's least height on the way, seen from its goal
		c.blindly(c.wordsTurned(r3.Vec{X: above.X, Y: above.Y, Z: c.roundUp(safe-math.Min(0, low), turn)}, turn))
		return
	}
	c.blindly(to)
}

// draw draws filament back, or returns it, until depth is what is drawn back.
func (c *Corrector) draw(depth float64) {
	if math.Abs(depth-c.depth) < 1e-9 {
		return
	}
	c.filament(c.depth - depth)
	c.depth = depth
}

func sortFloats(v []float64) {
	for i := 1; i < len(v); i++ { // a handful: insertion sort
		for j := i; j > 0 && v[j] < v[j-1]; j-- {
			v[j], v[j-1] = v[j-1], v[j]
		}
	}
}
