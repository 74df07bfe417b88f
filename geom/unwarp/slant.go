package unwarp

import (
	"math"

	"conewright/geom/machine"
)

// slant is what linear axes that slant change: every word has its share in the
// tip's height, and heights can't be rounded on their own.
type slant struct {
	is    bool
	plan  float64    // how far the rounding of all words may move the tip in plan, mm
	up    float64    // how far it may move it up or down, mm
	climb [3]float64 // words of a way of 1 mm straight up
	lifts int        // the axis that lifts most: 0, 1, 2 for X, Y, Z
}

func newSlant(card *machine.Card, unit float64) slant {
	s := slant{is: true, climb: card.Climb(1)}
	most := 0.0
	for i, d := range card.Linears() {
		s.plan += unit / 2 * math.Hypot(d.X, d.Y)
		s.up += unit / 2 * math.Abs(d.Z)
		if math.Abs(d.Z) > most {
			most, s.lifts = math.Abs(d.Z), i
		}
	}
	return s
}

// off returns how far the rounding of words may bring a bead off a shell of a slope, in
// height, mm: heights are raised by up beforehand.
func (s *slant) off(slope float64) float64 { return 2*s.up + slope*s.plan }

// ceiling returns how high the tip can stand where it stands now, mm.
func (s *slant) ceiling(c *Corrector) float64 {
	t := &c.card.Travel
	if !c.known {
		return c.card.PartTravel().Z[1]
	}
	reach := math.Inf(1)
	for i, x := range [3]float64{c.now.X, c.now.Y, c.now.Z} {
		reach = math.Min(reach, room(x, s.climb[i], [3]machine.Limits{t.X, t.Y, t.Z}[i]))
	}
	return c.tipZ() + reach - s.up
}
