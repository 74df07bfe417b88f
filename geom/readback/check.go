package readback

import (
	"context"
	"fmt"
	"io"
	"math"

	"conewright/geom/machine"
	"conewright/geom/motion"
	"conewright/geom/parallel"
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
	// Tolerance is how far beside its planar bead a bead may bow in plan while axes of
	// bed or head turn, mm; 0: not looked at.
	Tolerance float64
	// Also hears every step in order, on the goroutine that reads; nil: nobody. The
	// step is its only until it returns.
	Also func(*Step) error
}

// Report is what the file itself says.
type Report struct {
	Moves          int               // lines with X, Y, Z, swivel or E motion
	Filament       float64           // of beads, mm
	LowestZ        float64           // of the tip, mm
	Reach          [3]machine.Limits // least and greatest words of X, Y and Z, mm
	Seconds        float64           // printing time with ramps of speed (machine.Estimator)
	FeedSeconds    float64           // by the feed words alone
	SwivelSpeed    float64           // greatest, degrees/s
	Winding        float64           // greatest, degrees from the swivel's zero
	Flow           float64           // greatest on a bead, mm3/s
	Deviation      float64           // greatest between file and planar path, in z, mm
	DeviationLine  int
	DeviationAt    r3.Vec
	ZoneFilament   []float64 // of beads, a zone
	ZoneSeconds    []float64 // printing time, a zone; travel to it counts
	AzimuthError   float64   // greatest while a bead is interpolated, degrees
	AzimuthLine    int
	BusiestSecond  float64 // greatest number of moves in a second
	BusiestLine    int
	BusiestAt      r3.Vec
	Course         []Sample
	Beads, Missing int // bead moves; those of the planar path that weren't found
}

// Check reads a corrected file and compares it with its sources, in order. Both
// are read ahead, each on a goroutine of its own.
func Check(ctx context.Context, corrected io.Reader, sources []Source, o Options) (Report, error) {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	c := checker{ctx: ctx, o: o, sources: sources, zone: -1, reach: reachOf(o.Card), swivels: o.Card.Swivels(), apart: !o.Card.WordsArePlaces()}
	c.found.ZoneFilament = make([]float64, len(sources))
	m := newMeter(o.Card, len(sources))
	steps := readSteps(ctx, corrected, m, &o)
	err := c.run(steps)
	cancel()
	steps.Close() // the meter is ours again
	if c.planar != nil {
		c.planar.close()
	}
	r := m.total()
	r.take(&c.found)
	return r, err
}

// take adds what comparing has found.
func (r *Report) take(found *Report) {
	r.Filament, r.ZoneFilament = found.Filament, found.ZoneFilament
	r.Deviation, r.DeviationLine, r.DeviationAt = found.Deviation, found.DeviationLine, found.DeviationAt
	r.AzimuthError, r.AzimuthLine = found.AzimuthError, found.AzimuthLine
	r.Beads, r.Missing = found.Beads, found.Missing
}

// checker compares bead steps with the planar beads that they are of.
type checker struct {
	ctx     context.Context
	o       Options
	sources []Source
	found   Report // of it: filament, deviation, azimuth, beads
	zone    int
	planar  *beads
	rule    unwarp.Rule
	reach   float64
	swivels bool
	apart   bool // the words of X and Y aren't the tip's place
}

func (c *checker) run(steps *parallel.Pipe[[]Step]) error {
	if err := parallel.Each(steps, c.step); err != nil {
		return err
	}
	if err := steps.Close(); err != nil {
		return err
	}
	return c.nextZone(len(c.sources))
}

func (c *checker) step(s *Step) error {
	if s.Line&0xfff == 0 && c.ctx.Err() != nil {
		return c.ctx.Err()
	}
	r := &c.found
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
			return c.planar.close()
		}
		if b.length > 2*c.reach && !b.done && !c.underBase(b) {
			c.found.Missing++
			c.stray(math.Inf(1), 0, b.from)
		}
		c.planar.pop()
	}
}

func (c *checker) stray(by float64, line int, at r3.Vec) {
	if !(by <= c.found.Deviation) {
		c.found.Deviation, c.found.DeviationLine, c.found.DeviationAt = by, line, at
	}
}

// reachOf is how far a written place may lie from the planar path in plan: the
// rounding of its words, taken twice. On a tilted bed the rounding of Z moves the tip
// in plan too, and that of X and Y moves it further.
func reachOf(card *machine.Card) float64 {
	if card.Slants() { // three words move it across the plan
		return 4 * math.Pow(10, -float64(card.Decimals.XYZ))
	}
	reach := 2 * math.Sqrt2 * math.Pow(10, -float64(card.Decimals.XYZ))
	if card.BedTilts() {
		reach *= 2
	}
	return reach
}

// compare finds the planar bead that a step is part of and takes the greatest
// distance between them.
func (c *checker) compare(s *Step) {
	reach := c.reach
	m := c.moments(s)
	a, b := plan(m.begin.middle), plan(m.end.middle)
	for {
		bead, ok := c.planar.peek()
		if !ok {
			c.found.Missing++
			c.stray(math.Inf(1), s.Line, s.To.Tip)
			return
		}
		off := max(bead.distance(a), bead.distance(b))
		switch crumb := bead.done && distance(a, b) <= reach && distance(a, plan(bead.to)) <= reach; {
		case bead.done && !(crumb && off <= reach && c.sameHeight(&m, bead)):
			c.planar.pop() // its end was reached, and this isn't a last crumb of it, nor on its layer
			continue
		case off > reach && bead.length <= 2*reach:
			c.planar.pop() // rounded to nothing when it was written, or taken for a crumb of the last
			continue
		case off <= reach && bead.length <= reach && !c.sameHeight(&m, bead):
			c.planar.pop() // the same, and the next bead begins a layer higher right there
			continue
		case off > reach && c.underBase(bead):
			c.planar.pop() // its end gets no filament
			continue
		case off > reach:
			c.stray(off, s.Line, s.To.Tip)
		default:
			c.height(&m, bead)
			c.bow(&m, bead)
		}
		bead.done = bead.done || distance(b, plan(bead.to)) <= reach/2
		return
	}
}

// bow counts a bead as strayed that leaves its planar bead half way, in plan: words
// that aren't places run evenly while an axis turns, and the tip on an arc. Deviation
// is measured in height (CONTRACT); only a bow over the tolerance is taken into it.
func (c *checker) bow(m *moments, bead *bead) {
	if !c.apart || c.o.Tolerance == 0 {
		return
	}
	l := m.at(c, 0.5)
	p := plan(l.middle)
	if bead.c(p)-c.sources[c.zone].Zone.Field.At(p) < c.rule.Top() {
		return // the bed rule may have raised the tip
	}
	if off := bead.distance(p); off > c.o.Tolerance+c.reach {
		c.stray(off, m.step.Line, l.tip)
	}
}

// underBase reports that the end of a planar bead lies under its base, beside a
// tip that the base doesn't raise.
func (c *checker) underBase(b *bead) bool {
	p := plan(b.to)
	z := b.to.Z - c.sources[c.zone].Zone.Field.At(p)
	if z >= c.rule.Top() {
		return false
	}
	base, _ := c.rule.Base(p, z)
	return z <= base+c.reach
}

// sameHeight reports that a step lies on a bead's layer.
func (c *checker) sameHeight(m *moments, b *bead) bool {
	off, _ := c.heightOff(m, b)
	return off <= c.sources[c.zone].Zone.LayerHeight/4
}

func plan(v r3.Vec) r2.Vec { return r2.Vec{X: v.X, Y: v.Y} }

// distance is that of two places on a printer: its squares don't overflow.
func distance(a, b r2.Vec) float64 {
	dx, dy := b.X-a.X, b.Y-a.Y
	return math.Sqrt(dx*dx + dy*dy)
}
