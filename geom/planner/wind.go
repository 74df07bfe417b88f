package planner

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// wind follows how a head winds up that leans away from the axis, or toward it,
// and whose cable lets it turn once either way.
type wind struct {
	axis   r2.Vec
	inward bool
	at     float64 // azimuth, whole turns counted, radians
}

// mostWound is how far the head winds either way, radians, with a hair for
// rings that begin and end at the very limit.
const mostWound = 2*math.Pi + 1e-3

// azimuth returns which way the head leans at p.
func (w *wind) azimuth(p r2.Vec) float64 {
	d := r2.Sub(p, w.axis)
	if w.inward {
		d = r2.Scale(-1, d)
	}
	return math.Atan2(d.Y, d.X)
}

// along returns where the head ends a bead, and how many turns it has to unwind
// before it.
func (w *wind) along(b *Bead) (end, turns float64) {
	now := w.at
	low, high := math.Inf(1), math.Inf(-1)
	for i := range b.points() {
		now += math.Remainder(w.azimuth(b.point(i))-now, 2*math.Pi)
		low, high = math.Min(low, now), math.Max(high, now)
	}
	for _, k := range [...]float64{0, 1, -1, 2, -2} {
		if by := 2 * math.Pi * k; low+by >= -mostWound && high+by <= mostWound {
			return now + by, math.Abs(k)
		}
	}
	return now, 3 // it must be broken on the way
}
