package readback

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// height notes how far the step's bead is off the planar bead in height, and the
// head's azimuth off the gradient's.
func (c *checker) height(m *moments, bead *bead) {
	off, at := c.heightOff(m, bead)
	c.stray(off, m.step.Line, at)
	if c.swivels {
		c.azimuth(m)
	}
}

// heightOff compares the height of the bead that a step lays with the planar
// bead's after the bed rule: at its ends, where the chord's gap is greatest, and
// between. It returns the greatest difference and the tip there.
func (c *checker) heightOff(m *moments, bead *bead) (most float64, at r3.Vec) {
	z := c.sources[c.zone].Zone
	line := z.Field.Along(plan(m.begin.middle), plan(m.end.middle))
	for _, t := range [...]float64{0, line.Furthest(), 0.25, 0.5, 0.75, 1} {
		l := m.at(c, t)
		p := plan(l.middle)
		want := bead.c(p) - z.Field.At(p)
		if want < c.rule.Top() {
			want = c.ruled(want, &l)
		}
		if off := math.Abs(l.tip.Z + l.sunk - want); !(off <= most) { // nothing that isn't a number passes
			most, at = off, l.tip
		}
	}
	return most, at
}

// ruled returns the height, half a layer right above the middle of the bead, that
// the rule asks for at the pose that lays it. On the very edge of a base two
// heights are right, that of either side.
func (c *checker) ruled(want float64, l *laid) float64 {
	have, p := l.tip.Z+l.sunk, plan(l.tip)
	over := func(q r2.Vec) float64 {
		b, normal := c.rule.Base(q, want)
		return math.Max(want, b+c.rule.Over(normal, l.axis)+l.sunk)
	}
	best := over(p)
	reach := c.reach
	for _, d := range [4]r2.Vec{{X: reach}, {X: -reach}, {Y: reach}, {Y: -reach}} {
		if v := over(r2.Add(p, d)); math.Abs(v-have) < math.Abs(best-have) {
			best = v
		}
	}
	return best
}

// nearAxis is how near the axis no azimuth is compared, mm: words of 0.001 mm
// don't tell it there, and a bead that passes within 0.005 mm is broken.
const nearAxis = 0.06

// nearCrease is how near a crease either side's azimuth is right, mm (CONTRACT,
// "corrected.gcode").
const nearCrease = 0.015

// apart returns the angle between two azimuths given in radians, degrees.
func apart(a, b float64) float64 {
	turn := (a - b) / (2 * math.Pi)
	return math.Abs(turn-math.Round(turn)) * 360
}

// azimuth takes the greatest error of the head's azimuth along a bead.
func (c *checker) azimuth(m *moments) {
	s, f := m.step, &c.sources[c.zone].Zone.Field
	for _, t := range [...]float64{0.2, 0.5, 0.8} {
		p := plan(m.at(c, t).middle)
		want, ok := f.Azimuth(p)
		if !ok || f.Within(p, nearAxis) {
			continue
		}
		stands := s.From.Azimuth + t*(s.To.Azimuth-s.From.Azimuth)
		off := apart(stands, want)
		if f.Crease(p) < nearCrease { // either side's gradient will do
			for i := range 8 {
				sin, cos := math.Sincos(float64(i) * math.Pi / 4)
				if side, ok := f.Azimuth(r2.Add(p, r2.Vec{X: nearCrease * cos, Y: nearCrease * sin})); ok {
					off = math.Min(off, apart(stands, side))
				}
			}
		}
		if off > c.found.AzimuthError {
			c.found.AzimuthError, c.found.AzimuthLine = off, s.Line
		}
	}
}
