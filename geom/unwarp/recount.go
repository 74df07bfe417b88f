package unwarp

import (
	"math"

	"conewright/geom/motion"
)

// recount keeps the words of E and of the swivel small, for controllers that count
// in single precision: past half of what the card counts to, a G92 takes the whole
// length and whole turns off. It is called between beads, where the last move laid
// none; the half leaves room for the bead that follows.
func (c *Corrector) recount() {
	most := c.card.CountsTo / 2
	if most == 0 || !c.known || c.laying {
		return
	}
	if math.Abs(c.eWord) > most {
		c.eSum, c.eWord = c.eSum-c.eWord, 0
		c.text("G92 E0")
	}
	s := c.swivel
	if s == nil || s.Range != nil || math.Abs(c.word()) <= most {
		return
	}
	turns := math.Round((c.word() - s.Zero) / 360)
	if turns == 0 {
		return
	}
	c.now.Turn[c.turning.azimuth] = motion.Round(c.word()-360*turns, c.card.Decimals.Angle)
	c.text("G92" + string(motion.AppendWord(nil, s.Letter[0], c.word(), c.card.Decimals.Angle)))
}
