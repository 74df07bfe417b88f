package readback

import (
	"math"

	"conewright/geom/machine"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// height notes how far the step's height is off the planar bead's, and its
// azimuth off the gradient's.
func (c *checker) height(s *Step, bead *bead) {
	off, at := c.heightOff(s, bead)
	c.stray(off, s.Line, at)
	if c.swivels {
		c.azimuth(s)
	}
}

// heightOff compares the step's height with the planar bead's after the bed
// rule: at its ends, where the chord's gap is greatest, and between. It returns
// the greatest difference and the tip there.
func (c *checker) heightOff(s *Step, bead *bead) (most float64, at r3.Vec) {
	z := c.sources[c.zone].Zone
	line := z.Field.Along(plan(s.From.Tip), plan(s.To.Tip))
	for _, t := range [...]float64{0, line.Furthest(), 0.25, 0.5, 0.75, 1} {
		tip := c.tipAt(s, t)
		p := plan(tip)
		want := bead.c(p) - z.Field.At(p)
		if want < c.rule.Top() {
			want = c.ruledAt(s, t, want, tip)
		}
		if off := math.Abs(tip.Z - want); !(off <= most) { // nothing that isn't a number passes
			most, at = off, tip
		}
	}
	return most, at
}

// ruledAt returns the height that the rule asks for at t of a step. Near the
// axis the words don't tell an azimuth: that in which the head stands is as
// right as that of the gradient, and on the axis itself so is any.
func (c *checker) ruledAt(s *Step, t, want float64, tip r3.Vec) float64 {
	f := &c.sources[c.zone].Zone.Field
	p := plan(tip)
	b, normal := c.rule.Base(p, want)
	stands := s.From.Azimuth + t*(s.To.Azimuth-s.From.Azimuth)
	azimuth, ok := f.Azimuth(p)
	if !ok {
		azimuth = stands
	}
	best := c.ruled(want, b+c.rule.Over(normal, azimuth), p, tip.Z, azimuth)
	if normal.Z == 1 || f.Linear() {
		return best
	}
	try := func(azimuth float64) {
		v := c.ruled(want, b+c.rule.Over(normal, azimuth), p, tip.Z, azimuth)
		if math.Abs(v-tip.Z) < math.Abs(best-tip.Z) {
			best = v
		}
	}
	r := f.Apart(p)
	if r < nearAxis || f.Crease(p) < nearCrease {
		try(stands)
	}
	for i := 0; r < onAxis && i < 16; i++ {
		try(float64(i) * math.Pi / 8)
	}
	return best
}

// onAxis is how near the axis a place can't be told from the axis itself, mm:
// the reach within which beads are broken there, and a rounding.
const onAxis = 0.007

// ruled returns the height that the rule asks for. On the very edge of a base
// two heights are right, that of either side.
func (c *checker) ruled(want, least float64, p r2.Vec, z, azimuth float64) float64 {
	best := math.Max(want, least)
	reach := c.reach
	for _, d := range [4]r2.Vec{{X: reach}, {X: -reach}, {Y: reach}, {Y: -reach}} {
		b, normal := c.rule.Base(r2.Add(p, d), want)
		v := math.Max(want, b+c.rule.Over(normal, azimuth))
		if math.Abs(v-z) < math.Abs(best-z) {
			best = v
		}
	}
	return best
}

// tipAt returns the tip between a step's ends, as a controller interpolates.
func (c *checker) tipAt(s *Step, t float64) r3.Vec {
	if !c.tipOff {
		return r3.Add(s.From.Tip, r3.Scale(t, r3.Sub(s.To.Tip, s.From.Tip)))
	}
	a, b := &s.Words[0], &s.Words[1]
	return c.o.Card.Pose(machine.Words{
		X: a.X + t*(b.X-a.X), Y: a.Y + t*(b.Y-a.Y), Z: a.Z + t*(b.Z-a.Z), Turn: machine.Turn{a.Turn[0] + t*(b.Turn[0]-a.Turn[0])},
	}).Tip
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
func (c *checker) azimuth(s *Step) {
	f := &c.sources[c.zone].Zone.Field
	for _, t := range [...]float64{0.2, 0.5, 0.8} {
		p := plan(c.tipAt(s, t))
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
