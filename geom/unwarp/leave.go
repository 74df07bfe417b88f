package unwarp

import (
	"math"

	"conewright/geom/machine"
)

// Rest is where the machine stands once the last zone is done.
type Rest struct {
	Words machine.Words
	Known bool    // false: no bead was laid, the machine stands where the start left it
	Safe  float64 // least word of Z with which the tip may cross the part, mm
	Line  int     // lines written so far
}

// Leave ends the last zone by drawing the filament back and lifting the tip
// along the nozzle's axis, which can't touch what the standing head didn't, above
// everything printed; a bed that tilts then lies level again. What is written next, End, moves from there.
func (c *Corrector) Leave() Rest {
	c.closeZone()
	rest := Rest{Safe: c.safe(0), Known: c.known}
	if c.known {
		c.draw(math.Max(c.depth, c.card.Retract.Length))
		c.up(rest.Safe)
		c.levelBed()
	}
	rest.Safe -= c.loft(c.now.Turn)
	rest.Words, rest.Line = c.now, c.line
	return rest
}

// endLevel lays a bed that tilts level before the end, whose moves are meant so. The
// tip is lifted before, and the filament stands as it did.
func (c *Corrector) endLevel() {
	if !c.turning.tilts || !c.known || c.pose().Lean == 0 {
		return
	}
	depth := c.depth
	c.draw(math.Max(depth, c.card.Retract.Length))
	c.up(c.safe(0))
	c.levelBed()
	c.draw(depth)
}
