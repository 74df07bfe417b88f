package unwarp

import (
	"math"
)

// next returns how far the piece that begins at t may run.
func (c *Corrector) next(p *path, s *span, t float64) float64 {
	end := s.t1
	tol := c.cut
	if s.ruled { // an end may be rounded up onto the rule's height, whichever way the chord hangs
		tol = math.Max(tol-c.unit-c.margin(s), tol/2)
	}
	tol = math.Max(tol-c.axisReserve(p), tol/2)
	turn := math.Inf(1)
	if c.tipOff > 0 {
		tol /= 2 // the other half is for the bow
		turn = c.mostTurn(p, s, t, tol)
		end = math.Min(end, p.line.ReachTurn(t, turn))
	}
	if !s.raised {
		end = math.Min(end, p.line.ReachPlain(t, tol))
	}
	if c.card.Swivel != nil {
		end = p.line.ReachAzimuth(t, end, c.azimuthSlack(p))
	}
	if s.ruled && s.turns {
		end = math.Min(end, c.reachTurning(p, s, t, end))
	}
	// A rest that rounds to nothing is no piece of its own.
	dx, dy := p.b.X-p.a.X, p.b.Y-p.a.Y
	crumb := 3 * c.unit / math.Sqrt(dx*dx+dy*dy) // of places on a printer: nothing overflows
	if end-t < 1e-9 || s.t1-end < crumb && !(p.line.Turn(t, s.t1) > 1.5*turn) {
		return s.t1
	}
	return end
}

// mostTurn returns how far the head may turn on a piece from t when its tip
// stands off the swivel axis: the controller turns the offset along an arc, whose
// bow, times the slope of shell or base, may be tol.
func (c *Corrector) mostTurn(p *path, s *span, t, tol float64) float64 {
	bow := tol / math.Max(1, p.field.Slope())
	if r := p.field.Apart(p.at(t)); !math.IsInf(r, 1) { // nor may the bow tell another azimuth
		bow = math.Min(bow, bowTurn*math.Max(r, coarseAxis))
	}
	if s.ruled && s.turns {
		bow = math.Min(bow, turnShare*c.cut/s.slope())
	}
	return 2 * math.Acos(math.Max(0, 1-bow/c.tipOff))
}

// axisReserve returns how much the rounding of places may add to the gap between
// chord and shell: near the axis, where the shell bends most, a place rounded
// by d toward it lets the chord hang up to slope x d farther off, one rounded
// along the line up to half of that; farther away than roundAxis that fades.
func (c *Corrector) axisReserve(p *path) float64 {
	return 1.25 * c.unit * math.Min(p.field.Slope(), roundAxis*p.line.Bend())
}

const roundAxis = 0.2 // mm

// azimuthSlack returns what the azimuth may err by between the ends of a piece.
// The rounding of places moves the closest point to the axis by up to a unit, and
// the error with it; and it turns the ends themselves.
func (c *Corrector) azimuthSlack(p *path) float64 {
	distance, _ := p.line.Closest()
	slack := azimuthTolerance*(azimuthMargin-c.unit/distance) - c.unit*math.Sqrt2/2/math.Max(distance, coarseAxis)
	slack = math.Max(slack, azimuthTolerance/5)
	if c.tipOff > 0 {
		slack = math.Max(slack-bowTurn, slack/2)
	}
	return slack
}

// bowTurn is what the azimuth may err by, radians, because a tip off the swivel
// axis bows out of its line while it is turned.
const bowTurn = azimuthTolerance / 4

// coarseAxis is how near the axis, mm, words of a thousandth don't tell the
// azimuth within its tolerance.
const coarseAxis = 0.06

// reachTurning halves a piece over a slanting base until its chord, between
// ends that are raised by the margin, stays over the rule's height and within
// tolerance.
func (c *Corrector) reachTurning(p *path, s *span, t, end float64) float64 {
	z := func(t float64) float64 { return math.Max(p.raw(t), c.least(p, s, t)+c.margin(s)) }
	for i := 0; i < 30 && end-t > leastSpan; i++ {
		z0, z1 := z(t), z(end)
		fits := true
		for k := 0.125; k < 1 && fits; k += 0.125 {
			at := t + k*(end-t)
			chord := z0 + k*(z1-z0)
			fits = chord >= c.least(p, s, at) && math.Abs(chord-c.height(p, s, at)) <= c.cut
		}
		if fits {
			break
		}
		end = t + (end-t)/2
	}
	return end
}
