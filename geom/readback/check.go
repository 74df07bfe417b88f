package readback

import (
	"context"
	"fmt"
	"io"
	"math"

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
	ZoneSeconds    []float64 // printing time, a zone; travel to it counts
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
	c.report.ZoneSeconds = make([]float64, len(sources))
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
	c.endTime()
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
	timed   int         // zones that have begun
	began   float64     // when the newest did, s
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
	c.timeZone(s.Zone + 1)
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

// timeZone follows which zone runs, n being how many have begun.
func (c *checker) timeZone(n int) {
	if n != c.timed && n <= len(c.sources) {
		c.endTime()
		c.timed = n
	}
}

// endTime gives the zone that ran the time since it began.
func (c *checker) endTime() {
	now := c.time.Total()
	if c.timed > 0 {
		c.report.ZoneSeconds[c.timed-1] = now - c.began
	}
	c.began = now
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

func plan(v r3.Vec) r2.Vec { return r2.Vec{X: v.X, Y: v.Y} }
