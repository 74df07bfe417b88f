package unwarp

import (
	"math"

	"conewright/geom/machine"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// bow returns how far the tip leaves the straight line between its places at t0
// and t1 of a path while the bed turns under it, or while a head turns that leans
// by an axis of its own, mm.
//
// For a bed alone: seen from the bed's axis the tip is R(azimuth) w, with words w and azimuth
// running evenly. With a and b its places at the ends, m their middle and h half of
// a - b, half way it lies at cos(turn/2) m + sin(turn/2) (h turned left by a right
// angle), seen with the azimuth half way; on the line it would lie at m.
func (c *Corrector) bow(p *path, t0, t1 float64) float64 {
	from := p.leanBeside(t0, false)
	turn := math.Remainder(p.leanBeside(t1, true)-from, 2*math.Pi)
	if c.bed == nil {
		at := func(t, azimuth float64) (r3.Vec, machine.Turn) {
			q := p.tip(t)
			return r3.Vec{X: q.X, Y: q.Y, Z: p.raw(t) - p.sunk(t)}, c.turnOn(p, t, c.card.SwivelWord(azimuth))
		}
		a, ta := at(t0, from)
		b, tb := at(t1, from+turn)
		return c.swing(a, ta, b, tb)
	}
	a, b := p.tip(t0), p.tip(t1)
	m, h := r2.Sub(r2.Scale(0.5, r2.Add(a, b)), *c.bed), r2.Scale(0.5, r2.Sub(a, b))
	sin, cos := math.Sincos(turn / 2)
	return math.Hypot((cos-1)*m.X-sin*h.Y, (cos-1)*m.Y+sin*h.X)
}

// reachBow shortens a piece until the tip bows out of its line by no more than
// most.
func (c *Corrector) reachBow(p *path, t, end, most float64) float64 {
	for i := 0; i < 60 && end-t > leastSpan; i++ {
		off := c.bow(p, t, end)
		if off <= most {
			break
		}
		// The bow grows with the square of the length.
		end = t + (end-t)*math.Min(0.95, math.Max(0.3, 0.98*math.Sqrt(most/off)))
	}
	return end
}

// bedTurn returns how far the bed may turn in one move, degrees, while the tip
// is to stay at a place of it within the tolerance.
func (c *Corrector) bedTurn(tip r3.Vec) float64 {
	r := r2.Norm(r2.Sub(r2.Vec{X: tip.X, Y: tip.Y}, *c.bed))
	return 2 * math.Acos(math.Max(0, 1-c.cut/r)) * 180 / math.Pi
}
