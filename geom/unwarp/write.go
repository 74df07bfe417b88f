package unwarp

import (
	"math"

	"conewright/geom/machine"
	"conewright/geom/motion"

	"gonum.org/v1/gonum/spatial/r3"
)

// move writes a move to rounded words that pushes e mm of filament, at speed
// mm/min along the tip's path or slower where a limit of the machine asks for
// it. Feeds come from the rounded words, so that limits hold for what is
// written. Filament that rounds to nothing, or belongs to a move that rounds to
// nothing, is carried on.
func (c *Corrector) move(to machine.Words, e, speed float64) {
	c.eSum += e
	if c.known && to == c.now {
		return
	}
	if !c.known {
		c.blindly(to)
		return
	}
	eWord := c.eWord
	if e != 0 { // a travel never carries a remainder: it would look like a bead
		eWord = motion.Round(c.eSum, c.card.Decimals.E)
	}
	c.row = line{to: to, e: eWord, has: c.changed(to)}
	de := eWord - c.eWord
	if eWord != c.eWord {
		c.row.has |= hasE
	}
	c.laying = de > 0
	minutes, length := c.duration(to, de, speed)
	c.feedWord(minutes, length)
	c.checkTravel(to)
	c.now, c.eWord = to, eWord
	c.flushLine()
}

// filament pushes (or draws back) e mm of filament where the tip stands.
func (c *Corrector) filament(e float64) {
	c.eSum += e
	eWord := motion.Round(c.eSum, c.card.Decimals.E)
	de := math.Abs(eWord - c.eWord)
	if de == 0 {
		return
	}
	c.row = line{e: eWord, has: hasE}
	c.feedWord(de/math.Min(c.card.Retract.Speed, c.card.MaxSpeed.E)/60, de)
	c.eWord = eWord
	c.flushLine()
}

// changed returns the words in which to differs from where the machine stands.
func (c *Corrector) changed(to machine.Words) (has words) {
	if to.X != c.now.X {
		has |= hasX
	}
	if to.Y != c.now.Y {
		has |= hasY
	}
	if to.Z != c.now.Z {
		has |= hasZ
	}
	if c.swivel != nil && to.Turn[0] != c.now.Turn[0] {
		has |= hasSwivel
	}
	if to.Turn[1] != c.now.Turn[1] {
		has |= hasSecond
	}
	return has
}

// duration returns how long a move takes, in minutes, and the length that its
// feed is reckoned along, in the card's feed basis.
func (c *Corrector) duration(to machine.Words, de, speed float64) (minutes, length float64) {
	dx, dy, dz := to.X-c.now.X, to.Y-c.now.Y, to.Z-c.now.Z
	turn := to.Turn
	for i := range turn {
		turn[i] -= c.now.Turn[i]
	}
	dc := math.Abs(turn[0])
	if turn[1] != 0 {
		dc = math.Hypot(turn[0], turn[1])
	}
	xyz := math.Sqrt(dx*dx + dy*dy + dz*dz)
	tip := xyz
	if c.apart {
		tip = r3.Norm(r3.Sub(c.card.Pose(to).Tip, c.pose().Tip))
	}
	minutes = c.slowed(tip/speed, dx, dy, dz, turn, de)
	switch {
	case c.card.FeedBasis == machine.FeedAllAxes:
		return minutes, math.Sqrt(xyz*xyz + dc*dc)
	case xyz == 0:
		return minutes, dc
	}
	return minutes, xyz
}

// slowed stretches a move's time until no limit of the card is passed.
func (c *Corrector) slowed(minutes, dx, dy, dz float64, turn machine.Turn, de float64) float64 {
	const bit = 1.001 // what is counted as slowed
	m := &c.card.MaxSpeed
	axis := math.Max(math.Abs(dx)/m.X, math.Max(math.Abs(dy)/m.Y, math.Abs(dz)/m.Z))
	axis = math.Max(axis, math.Abs(de)/m.E) / 60
	at := func() r3.Vec { return c.pose().Tip }
	longest := minutes
	if axis > longest {
		if axis > minutes*bit {
			c.stats.Axis.add(c.line+1, at())
		}
		longest = axis
	}
	if t := c.turnMinutes(turn); t > longest {
		if minutes > 0 && t > longest*bit {
			c.stats.Swivel.add(c.line+1, at())
		}
		longest = t
	}
	if de > 0 {
		if t := de * c.card.FilamentArea() / c.card.MaxFlow / 60; t > longest {
			if t > longest*bit {
				c.stats.Flow.add(c.line+1, at())
			}
			longest = t
		}
	}
	return longest
}

// turnMinutes returns how long the turning axes take for a turn at least.
func (c *Corrector) turnMinutes(turn machine.Turn) (minutes float64) {
	for i := range turn {
		if turn[i] != 0 {
			minutes = math.Max(minutes, math.Abs(turn[i])/c.turning.speed[i]/60)
		}
	}
	return minutes
}

// leastMinutes is the shortest time that an F word under G93 stands for: F
// 1000000, 60 microseconds. Controllers don't read greater words, and a move that
// short may as well take longer.
const leastMinutes = 1e-6

// feedWord adds the F word of a move that takes minutes along length.
func (c *Corrector) feedWord(minutes, length float64) {
	if c.card.FeedBasis == machine.FeedInverseTime {
		c.row.has, c.row.feed = c.row.has|ownFeed, 1/math.Max(minutes, leastMinutes)
		return
	}
	c.row.has, c.row.feed = c.row.has|hasFeed, length/minutes
}

// blindly makes the first moves, from a place that isn't known: up, then
// across. Times are those of the machine's whole travel.
func (c *Corrector) blindly(to machine.Words) {
	t, m := &c.card.Travel, &c.card.MaxSpeed
	axes := [3]struct {
		word         words
		limits       machine.Limits
		speed, place float64
	}{{hasX, t.X, m.X, to.X}, {hasY, t.Y, m.Y, to.Y}, {hasZ, t.Z, m.Z, to.Z}}
	lifts := 2
	if c.slant.is {
		lifts = c.slant.lifts
	}
	rest := [3][2]int{{1, 2}, {0, 2}, {0, 1}}[lifts]
	up, one, other := &axes[lifts], &axes[rest[0]], &axes[rest[1]]
	c.row = line{to: to, has: up.word}
	c.feedWord(length(up.limits, 0)/up.speed/60, length(up.limits, 0))
	c.flushLine()

	c.row = line{to: to, has: one.word | other.word}
	speed := math.Min(c.opt.TravelSpeed, math.Min(one.speed, other.speed))
	span := math.Hypot(length(one.limits, one.place), length(other.limits, other.place))
	minutes, way := span/speed/60, span
	turn := to.Turn
	for i := range turn {
		if turn[i] -= c.now.Turn[i]; turn[i] != 0 && c.card.FeedBasis == machine.FeedAllAxes {
			way = math.Hypot(way, turn[i])
		}
	}
	minutes = math.Max(minutes, c.turnMinutes(turn))
	c.row.has |= c.changed(to) & (hasSwivel | hasSecond)
	c.feedWord(minutes, way)
	c.checkTravel(to)
	c.now, c.known = to, true
	c.flushLine()
}

// length returns how far an axis may have to go to a place; one without end begins
// somewhere near its zero.
func length(l machine.Limits, to float64) float64 {
	if l.Endless() {
		const begins = 500 // mm
		return begins + math.Abs(to)
	}
	return l[1] - l[0]
}

// checkTravel notes words that leave the machine's travel.
func (c *Corrector) checkTravel(to machine.Words) {
	t := &c.card.Travel
	if out(to.X, t.X) || out(to.Y, t.Y) || out(to.Z, t.Z) {
		c.stats.OutOfTravel.add(c.line+1, c.card.Pose(to).Tip)
	}
}

func out(v float64, within [2]float64) bool {
	const slack = 1e-6
	return v < within[0]-slack || v > within[1]+slack
}

func (c *Corrector) flushLine() {
	c.line++
	if c.err == nil {
		c.err = c.out.add(&c.row)
	}
}
