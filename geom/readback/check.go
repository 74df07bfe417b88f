package readback

import (
	"context"
	"fmt"
	"io"
	"math"

	"conewright/geom/field"
	"conewright/geom/machine"
	"conewright/geom/motion"
	"conewright/geom/unwarp"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Source is the planar motion that a zone of the corrected file came from.
type Source struct {
	Zone *unwarp.Zone
	Open func() (io.ReadCloser, error)
	Read motion.ReadOptions
}

// Options say what a file is checked against.
type Options struct {
	Card *machine.Card
	Span Span
}

// Report is what the file itself says.
type Report struct {
	Moves          int     // lines with X, Y, Z, swivel or E motion
	Filament       float64 // of beads, mm
	LowestZ        float64 // of the tip, mm
	HighestZ       float64
	Seconds        float64 // printing time with ramps of speed (machine.Estimator)
	FeedSeconds    float64 // by the feed words alone
	SwivelSpeed    float64 // greatest, degrees/s
	Winding        float64 // greatest, degrees from the swivel's zero
	Flow           float64 // greatest on a bead, mm3/s
	Deviation      float64 // greatest between file and planar path, in z, mm
	DeviationLine  int
	DeviationAt    r3.Vec
	ZoneFilament   []float64 // of beads, a zone
	AzimuthError   float64   // greatest while a bead is interpolated, degrees
	AzimuthLine    int
	BusiestSecond  float64 // greatest number of moves in a second
	BusiestLine    int
	Beads, Missing int // bead moves; those of the planar path that weren't found
}

// Check reads a corrected file and compares it with its sources, in order.
func Check(ctx context.Context, corrected io.Reader, sources []Source, o Options) (Report, error) {
	c := checker{o: o, sources: sources, zone: -1, time: machine.NewEstimator(o.Card)}
	c.report.LowestZ = math.Inf(1)
	c.report.ZoneFilament = make([]float64, len(sources))
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	c.ctx = ctx
	err := Steps(corrected, o.Card, o.Span, func(s *Step) error {
		if s.Line&0xfff == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		return c.step(s)
	})
	if err == nil {
		err = c.nextZone(len(sources))
	}
	if math.IsInf(c.report.LowestZ, 1) {
		c.report.LowestZ = 0
	}
	c.report.Seconds = c.time.Total()
	return c.report, err
}

type checker struct {
	ctx     context.Context
	o       Options
	sources []Source
	report  Report
	zone    int
	planar  *beads
	rule    unwarp.Rule
	time    *machine.Estimator
	second  [64]float64 // times at which recent moves began
	moves   int
}

func (c *checker) step(s *Step) error {
	r := &c.report
	r.Moves++
	c.measure(s)
	if !s.Lays() {
		return nil
	}
	if s.Zone < 0 || s.Zone >= len(c.sources) {
		return fmt.Errorf("corrected motion, line %d: a bead outside every zone", s.Line)
	}
	if err := c.nextZone(s.Zone); err != nil {
		return err
	}
	r.Beads++
	r.Filament += s.E
	r.ZoneFilament[s.Zone] += s.E
	c.compare(s)
	return nil
}

// measure takes the figures that need no source.
func (c *checker) measure(s *Step) {
	r := &c.report
	r.FeedSeconds += s.Seconds
	c.time.Add(axisSteps(s), s.Seconds)
	if s.Known || s.To.Tip.Z != 0 {
		r.LowestZ = math.Min(r.LowestZ, s.To.Tip.Z)
		r.HighestZ = math.Max(r.HighestZ, s.To.Tip.Z)
	}
	if sw := c.o.Card.Swivel; sw != nil {
		r.Winding = math.Max(r.Winding, math.Abs(s.Words[1].Swivel-sw.Zero))
		if s.Seconds > 0 && s.Known {
			r.SwivelSpeed = math.Max(r.SwivelSpeed, math.Abs(s.Words[1].Swivel-s.Words[0].Swivel)/s.Seconds)
		}
	}
	if s.Lays() && s.Seconds > 0 {
		r.Flow = math.Max(r.Flow, s.E*c.o.Card.FilamentArea()/s.Seconds)
	}
	c.rate(s)
}

// rate keeps the greatest number of moves a second, over runs of 64 moves.
func (c *checker) rate(s *Step) {
	i := c.moves % len(c.second)
	if c.moves >= len(c.second) {
		if t := c.report.FeedSeconds - c.second[i]; t > 0 {
			if n := float64(len(c.second)) / t; n > c.report.BusiestSecond {
				c.report.BusiestSecond, c.report.BusiestLine = n, s.Line
			}
		}
	}
	c.second[i] = c.report.FeedSeconds
	c.moves++
}

// axisSteps returns how far each axis goes in a step. A first move from an
// unknown place goes nowhere that can be told.
func axisSteps(s *Step) [machine.Axes]float64 {
	var d [machine.Axes]float64
	if s.Known {
		a, b := &s.Words[0], &s.Words[1]
		d[machine.AxisX], d[machine.AxisY], d[machine.AxisZ] = b.X-a.X, b.Y-a.Y, b.Z-a.Z
		d[machine.AxisSwivel] = b.Swivel - a.Swivel
	}
	d[machine.AxisE] = s.E
	return d
}

// nextZone closes zones up to the one of index i and opens its source.
func (c *checker) nextZone(i int) error {
	for c.zone < i {
		if c.planar != nil {
			if err := c.finish(); err != nil {
				return err
			}
		}
		c.zone++
		if c.zone >= len(c.sources) {
			return nil
		}
		src := &c.sources[c.zone]
		c.planar = readBeads(c.ctx, src)
		c.rule = unwarp.NewRule(c.o.Card, src.Zone)
	}
	return nil
}

// finish notes planar beads that the corrected file doesn't hold.
func (c *checker) finish() error {
	for {
		b, ok := c.planar.peek()
		if !ok {
			return c.planar.err()
		}
		if b.length > 2*c.reach() && !b.done {
			c.report.Missing++
			c.stray(math.Inf(1), 0, b.from)
		}
		c.planar.pop()
	}
}

func (c *checker) stray(by float64, line int, at r3.Vec) {
	if by > c.report.Deviation {
		c.report.Deviation, c.report.DeviationLine, c.report.DeviationAt = by, line, at
	}
}

// reach is how far a written place may lie from the planar path in plan: the
// rounding of its words, taken twice.
func (c *checker) reach() float64 {
	return 2 * math.Sqrt2 * math.Pow(10, -float64(c.o.Card.Decimals.XYZ))
}

// compare finds the planar bead that a step is part of and takes the greatest
// distance between them.
func (c *checker) compare(s *Step) {
	reach := c.reach()
	a, b := plan(s.From.Tip), plan(s.To.Tip)
	for {
		bead, ok := c.planar.peek()
		if !ok {
			c.report.Missing++
			c.stray(math.Inf(1), s.Line, s.To.Tip)
			return
		}
		off := math.Max(bead.distance(a), bead.distance(b))
		switch crumb := r2.Norm(r2.Sub(a, b)) <= reach && r2.Norm(r2.Sub(a, plan(bead.to))) <= reach; {
		case bead.done && !(crumb && off <= reach && c.heightOff(s, bead) <= c.sources[c.zone].Zone.LayerHeight/4):
			c.planar.pop() // its end was reached, and this isn't a last crumb of it, nor on its layer
			continue
		case off > reach && bead.length <= 2*reach:
			c.planar.pop() // rounded to nothing when it was written, or taken for a crumb of the last
			continue
		case off > reach:
			c.stray(off, s.Line, s.To.Tip)
		default:
			c.height(s, bead)
		}
		bead.done = bead.done || r2.Norm(r2.Sub(b, plan(bead.to))) <= reach/2
		return
	}
}

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

func plan(v r3.Vec) r2.Vec { return r2.Vec{X: v.X, Y: v.Y} }
