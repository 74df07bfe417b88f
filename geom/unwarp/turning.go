package unwarp

import (
	"math"

	"conewright/geom/machine"
	"conewright/geom/motion"

	"gonum.org/v1/gonum/spatial/r3"
)

// turning tells which words turn the head and lean it.
type turning struct {
	azimuth  int                          // of machine.Turn: the word that turns the azimuth
	leans    bool                         // an axis leans the head
	lean     int                          // of machine.Turn: that axis' word
	tilts    bool                         // it tilts the bed: heights depend on all words
	leanWord float64                      // in this zone
	speed    [machine.MostTurning]float64 // greatest, degrees/s
}

func newTurning(card *machine.Card) turning {
	t := turning{azimuth: card.AzimuthIndex()}
	for i, a := range card.Turning() {
		t.speed[i] = a.MaxSpeed
	}
	if a, i := card.LeanAxis(); a != nil {
		t.leans, t.lean, t.leanWord, t.tilts = true, i, a.Zero, card.BedTilts()
	}
	return t
}

// wordOf returns the lean axis' word for a lean, radians.
func (t *turning) wordOf(card *machine.Card, lean float64) float64 {
	return motion.Round(card.Words(machine.Pose{Lean: lean}).Turn[t.lean], card.Decimals.Angle)
}

// word returns the word that turns the azimuth, as it was written last.
func (c *Corrector) word() float64 { return c.now.Turn[c.turning.azimuth] }

// turnAt returns the words of the turning axes in this zone at a swivel word; where
// the head leans anew on the way, as it leans now.
func (c *Corrector) turnAt(word float64) (t machine.Turn) {
	if c.nozzle.follows {
		t = c.now.Turn
		t[c.turning.azimuth] = word
		return t
	}
	t[c.turning.azimuth] = word
	if c.turning.leans {
		t[c.turning.lean] = c.turning.leanWord
	}
	return t
}

// turnOn returns the words of the turning axes for the bead at t of a path, at a
// swivel word.
func (c *Corrector) turnOn(p *path, t, word float64) machine.Turn {
	turn := c.turnAt(word)
	if c.nozzle.follows {
		turn[c.turning.lean] = c.turning.wordOf(c.card, p.nozzleAt(t).lean)
	}
	return turn
}

// bows reports that the tip leaves the straight line between two poses by more
// than its distance from the swivel axis says.
func (c *Corrector) bows() bool { return c.bed != nil || c.turning.leans }

// wordsAt returns the rounded machine words of a tip place and a swivel word in
// this zone. z must be rounded already.
func (c *Corrector) wordsAt(tip r3.Vec, swivel float64) machine.Words {
	return c.wordsTurned(tip, c.turnAt(swivel))
}

// wordsTurned returns the rounded machine words of a tip place with the turning
// axes at t. z must be rounded already.
func (c *Corrector) wordsTurned(tip r3.Vec, t machine.Turn) machine.Words {
	d := c.card.Decimals.XYZ
	w := machine.Words{X: tip.X - c.shift.X, Y: tip.Y - c.shift.Y, Z: tip.Z - c.shift.Z, Turn: t}
	if c.apart {
		pose := c.card.Pose(machine.Words{Turn: t})
		pose.Tip = tip
		m := c.card.Words(pose)
		w.X, w.Y = m.X, m.Y
		if c.skew {
			w.Z = m.Z
		}
	}
	w.X, w.Y = motion.Round(w.X, d), motion.Round(w.Y, d)
	if c.turning.tilts {
		w.Z = c.heightWord(w, tip.Z)
	} else if c.skew || c.shift.Z != 0 {
		w.Z = motion.Round(w.Z, d)
	}
	return w
}

// heightWord returns the word of Z, rounded up, that brings the tip to height z over
// a bed that tilts, at the words of all other axes: there X and Y lift the tip too,
// so their rounding is made up for.
func (c *Corrector) heightWord(w machine.Words, z float64) float64 {
	up := w
	up.Z++
	have := c.card.Pose(w).Tip.Z
	if rise := c.card.Pose(up).Tip.Z - have; rise > leastRise {
		w.Z += (z - have) / rise
	}
	word := motion.Round(w.Z, c.card.Decimals.XYZ)
	if word < w.Z-1e-9 {
		word = motion.Round(word+c.unit, c.card.Decimals.XYZ)
	}
	return word
}

// leastRise is the least that the tip must rise over a tilted bed for a millimetre of
// the word of Z, mm, for that word to set its height: on steeper beds it hardly does.
const leastRise = 0.15

// atHeight returns the words at which the tip stands where it does now, but at
// height z, which must be rounded already.
func (c *Corrector) atHeight(z float64) machine.Words {
	if c.skew {
		tip := c.pose().Tip
		tip.Z = z
		return c.wordsTurned(tip, c.now.Turn)
	}
	to := c.now
	to.Z = z
	if c.shift.Z != 0 {
		to.Z = motion.Round(z-c.shift.Z, c.card.Decimals.XYZ)
	}
	return to
}

// pose returns the pose that the last written words stand for.
func (c *Corrector) pose() machine.Pose { return c.card.Pose(c.now) }

// tipZ returns the height of the tip, mm.
func (c *Corrector) tipZ() float64 {
	if c.skew {
		return c.pose().Tip.Z
	}
	return c.now.Z + c.shift.Z
}

// loft returns how far the tip stands over the word of Z with the turning axes at
// t, mm.
func (c *Corrector) loft(t machine.Turn) float64 {
	if c.skew {
		return c.card.Pose(machine.Words{Turn: t}).Tip.Z
	}
	return c.shift.Z
}

// roundUp rounds a height of the tip upward to what can be written with the
// turning axes at t. On a bed that tilts that depends on all words: see heightWord.
func (c *Corrector) roundUp(z float64, t machine.Turn) float64 {
	if c.turning.tilts {
		return z
	}
	if c.slant.is {
		return z + c.slant.up
	}
	loft := c.loft(t)
	z -= loft
	w := motion.Round(z, c.card.Decimals.XYZ)
	if w < z-1e-9 {
		w = motion.Round(w+c.unit, c.card.Decimals.XYZ)
	}
	return w + loft
}

// roundDown is the same downward.
func (c *Corrector) roundDown(z float64, t machine.Turn) float64 {
	if c.turning.tilts {
		return z
	}
	if c.slant.is {
		return z - c.slant.up
	}
	loft := c.loft(t)
	z -= loft
	w := motion.Round(-z, c.card.Decimals.XYZ)
	if w < -z-1e-9 {
		w = motion.Round(w+c.unit, c.card.Decimals.XYZ)
	}
	return loft - w
}

// ceiling returns how high the tip can stand, mm, as the head leans now and as it
// leans in this zone.
func (c *Corrector) ceiling() float64 {
	if c.turning.tilts {
		return math.Min(c.tiltedCeiling(c.now.Turn), c.tiltedCeiling(c.turnAt(c.word())))
	}
	if c.slant.is {
		return c.slant.ceiling(c)
	}
	least := math.Min(c.loft(c.now.Turn), c.loft(c.turnAt(c.word())))
	if c.nozzle.follows {
		for _, n := range [2]nozzle{c.nozzle, c.nozzle.on(0)} {
			t := c.turnAt(c.word())
			t[c.turning.lean] = c.turning.wordOf(c.card, n.lean)
			least = math.Min(least, c.loft(t))
		}
	}
	return c.card.Travel.Z[1] + least
}

// tiltedCeiling returns how high over its place on a bed that tilts the tip can
// stand with the turning axes at t, mm: as far as every word's travel allows.
func (c *Corrector) tiltedCeiling(t machine.Turn) float64 {
	if !c.known {
		return math.Inf(1)
	}
	pose := c.card.Pose(machine.Words{Turn: t})
	pose.Tip = c.pose().Tip
	w := c.card.Words(pose)
	z := pose.Tip.Z
	pose.Tip.Z++
	up, travel := c.card.Words(pose), &c.card.Travel
	return z + math.Min(room(w.X, up.X-w.X, travel.X), math.Min(room(w.Y, up.Y-w.Y, travel.Y), room(w.Z, up.Z-w.Z, travel.Z)))
}

// levelBed tilts a bed back until it lies level, the tip keeping its place over it.
func (c *Corrector) levelBed() {
	if c.turning.tilts && c.known {
		to := c.now.Turn
		to[c.turning.lean] = c.card.Turning()[c.turning.lean].Zero
		c.lean(to)
	}
}

// leastLoft returns the least loft while the turning axes go to t.
func (c *Corrector) leastLoft(t machine.Turn) float64 {
	least := c.loft(t)
	const steps = 8
	for i := range steps {
		at := t
		for k := range at {
			at[k] = c.now.Turn[k] + (t[k]-c.now.Turn[k])*float64(i)/steps
		}
		least = math.Min(least, c.loft(at))
	}
	return least
}

// headLow returns how far the head reaches below its tip, mm, 0 or negative: as it
// leans in this zone, as it leans now, and on the way from one to the other.
func (c *Corrector) headLow() float64 {
	least := c.under().least
	if !c.turning.leans {
		return least
	}
	from, to := c.pose().Lean, c.nozzle.lean
	if flat := c.nozzle.on(0); c.nozzle.follows {
		from = math.Min(from, flat.lean)
	}
	const steps = 4
	for i := range steps {
		least = math.Min(least, lowestOf(c.card, from+(to-from)*float64(i)/steps))
	}
	return least
}

// swivelHome writes the words of the turning axes at zero.
func (c *Corrector) swivelHome() {
	axes := c.card.Turning()
	c.row = line{has: hasSwivel}
	minutes, most := 0.0, 0.0
	for i := range axes {
		c.now.Turn[i] = axes[i].Zero
		// Where an axis stands is unknown: give it a whole turn's time.
		minutes, most = math.Max(minutes, 360/axes[i].MaxSpeed/60), math.Hypot(most, 360)
		if i > 0 {
			c.row.has |= hasSecond
		}
	}
	c.row.to.Turn = c.now.Turn
	c.feedWord(minutes, most)
	c.flushLine()
}

// stillLean is how far, mm, the tip may leave its place while the head is leant
// above all that is printed: little beside crossing.
const stillLean = 0.1

// lean brings the lean axis to where it stands at the words t, the tip keeping its
// place.
func (c *Corrector) lean(t machine.Turn) {
	if c.turning.leans && c.now.Turn[c.turning.lean] != t[c.turning.lean] {
		to := c.now.Turn
		to[c.turning.lean] = t[c.turning.lean]
		c.stillTurn(to, stillLean)
	}
}

// turn swivels where the tip stands.
func (c *Corrector) turn(word float64) { c.stillTurn(c.turnAt(word), c.cut) }

// stillTurn turns the axes where the tip stands. Where it doesn't stay there by
// itself, it follows in steps, so that it leaves its place by most, mm, at most.
func (c *Corrector) stillTurn(to machine.Turn, most float64) {
	tip, from := c.pose().Tip, c.now.Turn
	part := func(k float64) (t machine.Turn) {
		for i := range t {
			t[i] = motion.Round(from[i]+k*(to[i]-from[i]), c.card.Decimals.Angle)
		}
		return t
	}
	steps := c.stillSteps(tip, from, to, most)
	for i := 1.0; i < steps; i++ {
		c.move(c.wordsTurned(tip, part(i/steps)), 0, c.travel)
	}
	c.move(c.wordsTurned(tip, to), 0, c.travel)
}

// stillSteps returns in how many steps the axes turn.
func (c *Corrector) stillSteps(tip r3.Vec, from, to machine.Turn, most float64) float64 {
	if c.bed != nil {
		return math.Ceil(math.Abs(to[0]-from[0]) / c.bedTurn(tip))
	}
	if !c.turning.leans {
		return 1
	}
	// A sixth of a turn at once shows how far the tip swings; that grows with the
	// square of the angle.
	whole := math.Max(1, math.Ceil(math.Max(math.Abs(to[0]-from[0]), math.Abs(to[1]-from[1]))/60))
	swing := 0.0
	for i := range int(whole) {
		var a, b machine.Turn
		for k := range a {
			step := (to[k] - from[k]) / whole
			a[k] = from[k] + float64(i)*step
			b[k] = a[k] + step
		}
		swing = math.Max(swing, c.swing(tip, a, tip, b))
	}
	return whole * math.Max(1, math.Ceil(math.Sqrt(1.1*swing/most)))
}

// swing returns how far the tip leaves the straight line between two places, mm,
// half way of the words that lead from one to the other.
func (c *Corrector) swing(a r3.Vec, ta machine.Turn, b r3.Vec, tb machine.Turn) float64 {
	words := func(tip r3.Vec, t machine.Turn) machine.Words {
		pose := c.card.Pose(machine.Words{Turn: t})
		pose.Tip = tip
		return c.card.Words(pose)
	}
	v, w := words(a, ta), words(b, tb)
	mid := machine.Words{X: (v.X + w.X) / 2, Y: (v.Y + w.Y) / 2, Z: (v.Z + w.Z) / 2}
	for i := range mid.Turn {
		mid.Turn[i] = (v.Turn[i] + w.Turn[i]) / 2
	}
	return r3.Norm(r3.Sub(c.card.Pose(mid).Tip, r3.Scale(0.5, r3.Add(a, b))))
}
