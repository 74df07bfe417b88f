package unwarp

import (
	"math"

	"conewright/geom/machine"
	"conewright/geom/motion"

	"gonum.org/v1/gonum/spatial/r2"
)

// swivelAt returns the swivel word for the end of a piece at t of a path, a place
// q: the equivalent angle nearest to the last. Where the azimuth can't be told the last one is
// held.
func (c *Corrector) swivelAt(p *path, t float64, q r2.Vec) float64 {
	if c.swivel == nil {
		return 0
	}
	if p.nearAxis(q) {
		return c.word()
	}
	azimuth, ok := p.field.Azimuth(p.beside(q, t, true))
	if !ok {
		return c.word()
	}
	return c.nearest(c.card.SwivelWord(azimuth))
}

// nearest returns the word equivalent to w that is nearest to the present one.
func (c *Corrector) nearest(w float64) float64 {
	return motion.Round(w+360*math.Round((c.word()-w)/360), c.card.Decimals.Angle)
}

// inRange reports whether the swivel can turn to w.
func (c *Corrector) inRange(w float64) bool {
	if c.swivel == nil {
		return true
	}
	r := c.swivel.Range
	slack := math.Pow(10, -float64(c.card.Decimals.Angle)) / 2
	return r == nil || w >= r[0]-slack && w <= r[1]+slack
}

// startWord returns the swivel word that the bead beginning with ev needs at
// its start. With a limited range it is the equivalent from which the held bead
// gets farthest; of several that do, the nearest.
func (c *Corrector) startWord(ev *motion.Event) float64 {
	s := c.swivel
	if s == nil {
		return 0
	}
	p := c.path(ev)
	azimuth, ok := p.field.Azimuth(p.beside(c.written(p.a), 0, false))
	if !ok || p.nearAxis(p.a) || c.nozzle.tilted() {
		azimuth, ok = p.azimuth(0)
	}
	if !ok {
		return c.word()
	}
	w := c.nearest(c.card.SwivelWord(azimuth))
	if s.Range == nil || len(c.bead) == 0 {
		return w
	}
	best, far := w, -1
	for k := -64; k <= 64; k++ {
		// nearest first: 0, 1, -1, 2, -2, ...
		turn := float64((k + 64 + 1) / 2)
		if (k+64)%2 == 1 {
			turn = -turn
		}
		from := w + 360*turn
		if !c.inRange(from) {
			continue
		}
		if n := c.runs(from); n > far {
			best, far = from, n
		}
	}
	return motion.Round(best, c.card.Decimals.Angle)
}

// runs returns how many moves of the held bead stay in range when it begins at
// word w.
func (c *Corrector) runs(w float64) int {
	for i := range c.bead {
		w = c.endWord(&c.bead[i], w)
		if !c.inRange(w) {
			return i
		}
	}
	return len(c.bead)
}

// endWord returns the word at the end of a bead move that begins at word w:
// along a straight line the azimuth turns by less than half a turn.
func (c *Corrector) endWord(ev *motion.Event, w float64) float64 {
	p := c.path(ev)
	azimuth, ok := p.azimuth(1)
	if !ok {
		return w
	}
	to := c.card.SwivelWord(azimuth)
	return to + 360*math.Round((w-to)/360)
}

// turnOnJump breaks a bead that runs through an axis or a crease at the end of a
// span: the head must turn there, off the part, to the azimuth with which the bead
// leaves it.
func (c *Corrector) turnOnJump(p *path, s *span) {
	azimuth, ok := p.field.Azimuth(p.at(s.turn))
	if !ok {
		return
	}
	word := c.legal(c.nearest(c.card.SwivelWord(azimuth)))
	c.breakTo(c.standing(p, s, s.t1, word))
}

// turnOnCrease turns the head where a path begins on a crease, or runs along a line,
// and the head still leans otherwise: without filament, or the first of the path
// would be laid with a head that turns.
func (c *Corrector) turnOnCrease(p *path, s *span) {
	if c.swivel == nil || !c.known {
		return
	}
	azimuth := p.held
	if !p.along {
		if !(p.field.Crease(p.a) < eitherSide) || p.nearAxis(p.a) {
			return
		}
		var ok bool
		if azimuth, ok = p.field.Azimuth(p.beside(p.a, 0, false)); !ok {
			return
		}
	}
	word := c.legal(c.nearest(c.card.SwivelWord(azimuth)))
	if math.Abs(word-c.word()) > leastTurn {
		c.breakTo(c.standing(p, s, 0, word))
	}
}

// leastTurn is a turn of the head, degrees, that is no matter to a bead.
const leastTurn = 0.5

// legal returns the word equivalent to w that is in range and nearest to it, or
// w itself where there is none.
func (c *Corrector) legal(w float64) float64 {
	for k := 0.0; k <= 64; k++ {
		for _, v := range [2]float64{w + 360*k, w - 360*k} {
			if c.inRange(v) {
				return motion.Round(v, c.card.Decimals.Angle)
			}
		}
	}
	return w
}

// breakTo stops a bead, lifts, turns the swivel, and comes back to where the bead
// stopped: the words to.
func (c *Corrector) breakTo(to machine.Words) {
	c.stats.Broken++
	depth := c.depth
	c.draw(math.Max(depth, c.card.Retract.Length))
	c.over(to)
	c.draw(depth)
}

// sameTip returns the words at which the tip stands where it does now, with the
// swivel at word.
func (c *Corrector) sameTip(word float64) machine.Words {
	return c.wordsAt(c.pose().Tip, word) // not the words: the tip may stand off the swivel axis
}

// unwind breaks a bead whose next piece, ending at word w, would leave the
// swivel's range. It returns the word for the piece's end.
func (c *Corrector) unwind(w float64) float64 {
	if c.swivel == nil || c.swivel.Range == nil || c.inRange(w) {
		return w
	}
	step := w - c.word()
	for k := 1.0; k <= 64; k++ {
		turns := -math.Copysign(360*k, step)
		if c.inRange(c.word()+turns) && c.inRange(w+turns) {
			c.breakTo(c.sameTip(motion.Round(c.word()+turns, c.card.Decimals.Angle)))
			return motion.Round(w+turns, c.card.Decimals.Angle)
		}
	}
	r := c.swivel.Range
	if at := math.Max(r[0], math.Min(r[1], w)); math.Abs(w-at) <= roundingTurn {
		return at // a piece was cut at this limit, and its end's place rounded beyond
	}
	c.stats.OutOfRange.add(c.line+1, c.pose().Tip)
	return w
}

// roundingTurn is how far, degrees, the rounding of a place may turn the azimuth
// a tenth of a millimetre from the axis.
const roundingTurn = 0.5

// straddles returns the limit of the swivel's range that a piece from t to end
// crosses where no whole turn brings both of its ends into the range, though the
// range is a whole turn wide: there the piece must be cut.
func (c *Corrector) straddles(p *path, t, end float64) (limit float64, ok bool) {
	if c.swivel == nil || c.swivel.Range == nil {
		return 0, false
	}
	r := c.swivel.Range
	w := c.wordAt(p, end)
	if c.inRange(w) || r[1]-r[0] < 360 {
		return 0, false
	}
	limit = r[1]
	if w < c.word() {
		limit = r[0]
	}
	for k := -64.0; k <= 64; k++ {
		if c.inRange(c.word()+360*k) && c.inRange(w+360*k) {
			return 0, false // unwind does it
		}
	}
	return limit, true
}

// reachLimit returns where in a piece from t to end the swivel's word meets the
// limit. Along a straight line the word only rises, or only falls.
func (c *Corrector) reachLimit(p *path, t, end, limit float64) float64 {
	sign := math.Copysign(1, limit-c.word())
	beyond := func(t float64) bool {
		azimuth, ok := p.field.Azimuth(p.at(t))
		if !ok {
			return false
		}
		w := c.card.SwivelWord(azimuth)
		w += 360 * math.Round((c.word()-w)/360)
		return sign*(w-limit) > 0
	}
	lo, hi := t, end
	for range 50 {
		if mid := (lo + hi) / 2; beyond(mid) {
			hi = mid
		} else {
			lo = mid
		}
	}
	return lo
}

// turnAtLimit breaks a bead where the swivel stands at a limit of its range: it
// goes on a whole turn back.
func (c *Corrector) turnAtLimit(limit float64) {
	r := c.swivel.Range
	back := c.word() - math.Copysign(360, limit-(r[0]+r[1])/2)
	c.breakTo(c.sameTip(motion.Round(math.Max(r[0], math.Min(r[1], back)), c.card.Decimals.Angle)))
}
