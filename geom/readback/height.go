package readback

import (
	"math"

	"conewright/geom/field"
	"conewright/geom/machine"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// height notes how far the step's height is off the planar bead's, and its
// azimuth off the gradient's.
func (c *checker) height(s *Step, bead *bead) {
	c.eachHeight(s, bead, func(off float64, tip r3.Vec) { c.stray(off, s.Line, tip) })
	if c.o.Card.Swivel != nil {
		line := c.sources[c.zone].Zone.Field.Along(plan(s.From.Tip), plan(s.To.Tip))
		c.azimuth(s, &line)
	}
}

// heightOff returns the greatest of what height would note.
func (c *checker) heightOff(s *Step, bead *bead) (most float64) {
	c.eachHeight(s, bead, func(off float64, _ r3.Vec) { most = math.Max(most, off) })
	return most
}

// eachHeight compares the step's height with the planar bead's after the bed
// rule, at its ends, where the chord's gap is greatest, and between.
func (c *checker) eachHeight(s *Step, bead *bead, note func(off float64, tip r3.Vec)) {
	z := c.sources[c.zone].Zone
	line := z.Field.Along(plan(s.From.Tip), plan(s.To.Tip))
	_, worst := line.Gap(0, 1)
	for _, t := range [...]float64{0, worst, 0.25, 0.5, 0.75, 1} {
		tip := c.tipAt(s, t)
		p := plan(tip)
		want := bead.c(p) - z.Field.At(p)
		if want < c.rule.Top() {
			want = c.ruledAt(s, t, want, tip)
		}
		note(math.Abs(tip.Z-want), tip)
	}
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
	if f.Kind != field.Cone || normal.Z == 1 {
		return best
	}
	try := func(azimuth float64) {
		v := c.ruled(want, b+c.rule.Over(normal, azimuth), p, tip.Z, azimuth)
		if math.Abs(v-tip.Z) < math.Abs(best-tip.Z) {
			best = v
		}
	}
	r := r2.Norm(r2.Sub(p, f.Axis))
	if r < nearAxis {
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
	reach := c.reach()
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
	if c.o.Card.TipOff() == 0 {
		return r3.Add(s.From.Tip, r3.Scale(t, r3.Sub(s.To.Tip, s.From.Tip)))
	}
	a, b := &s.Words[0], &s.Words[1]
	return c.o.Card.Pose(machine.Words{
		X: a.X + t*(b.X-a.X), Y: a.Y + t*(b.Y-a.Y), Z: a.Z + t*(b.Z-a.Z), Swivel: a.Swivel + t*(b.Swivel-a.Swivel),
	}).Tip
}

// nearAxis is how near the axis no azimuth is compared, mm: words of 0.001 mm
// don't tell it there, and a bead that passes within 0.005 mm is broken.
const nearAxis = 0.06

// azimuth takes the greatest error of the head's azimuth along a bead.
func (c *checker) azimuth(s *Step, line *field.Line) {
	f := &c.sources[c.zone].Zone.Field
	for _, t := range [...]float64{0.2, 0.5, 0.8} {
		p := plan(c.tipAt(s, t))
		want, ok := f.Azimuth(p)
		if !ok || f.Kind == field.Cone && r2.Norm(r2.Sub(p, f.Axis)) < nearAxis {
			continue
		}
		have := s.From.Azimuth + t*(s.To.Azimuth-s.From.Azimuth)
		off := math.Abs(math.Remainder(have-want, 2*math.Pi)) * 180 / math.Pi
		if off > c.report.AzimuthError {
			c.report.AzimuthError, c.report.AzimuthLine = off, s.Line
		}
	}
}
