package clearance

import (
	"context"
	"errors"
	"fmt"
	"math"

	"conewright/geom/clearance/relief"

	"gonum.org/v1/gonum/spatial/r3"
)

// Motion is a source of steps that can be run through more than once, so that
// nothing needs to hold a long motion.
type Motion struct {
	// Steps is about how many there are: where it says few, all clearances are
	// measured in every one.
	Steps int
	// Each calls each with every step in order until it returns an error, which it
	// returns. It says the same each time.
	Each func(each func(*Step) error) error
}

// MotionOf returns the motion of the steps.
func MotionOf(steps []Step) Motion {
	return Motion{Steps: len(steps), Each: func(each func(*Step) error) error {
		for i := range steps {
			if err := each(&steps[i]); err != nil {
				return err
			}
		}
		return nil
	}}
}

// Check moves a head through a motion. Progress (may be nil) is called with 0
// to 1, from one goroutine at a time. The report is the same whatever the number
// of workers. Errors are the context's, the motion's own, those of options that
// can't be used, and ones that wrap ErrStep.
//
// The motion is run through first to sieve it: a bound of what is printed shows
// nearly all moves of an ordinary motion to be clear. What is doubtful is then
// judged by the beads near it, which are gathered in further passes.
func Check(ctx context.Context, o Options, m Motion, progress func(done float64)) (Report, error) {
	if progress == nil {
		progress = func(float64) {}
	}
	o, err := o.withDefaults()
	if err != nil {
		return Report{}, err
	}
	s, err := newSurvey(o, m, progress)
	if err != nil {
		return Report{}, err
	}
	return s.run(ctx)
}

func (s *survey) run(ctx context.Context) (Report, error) {
	if err := s.m.ahead(ctx, func(st *Step) error { return s.step(ctx, st) }); err != nil {
		return Report{}, err
	}
	s.close()
	for i := range s.portions {
		if err := s.judge(ctx, i); err != nil {
			return Report{}, err
		}
	}
	return s.finish(), nil
}

// errEnough ends a pass that needs no more of the motion.
var errEnough = errors.New("enough")

// portion is a stretch of the motion whose doubtful moves are judged at once.
type portion struct {
	after, to int // steps after to to, counting from 1
	marks     *relief.Marks
}

// mostMarks bounds a portion: in a fine motion, some ten beads of 80 bytes lie at
// a mark.
const mostMarks = 100_000

// survey is a check under way.
type survey struct {
	o           Options
	m           Motion
	progress    func(float64)
	head        *shape
	sieve       sieve
	nearLookOut float64
	nearReach   *reach // for moves of which only clearances under nearLookOut are looked for
	fullReach   *reach // for those that are measured
	every       int    // so many moves one is measured
	n           int    // steps
	uses        uses
	portions    []portion
	after       int // the last step of the portions that are closed
	report      Report
	groups      groups
	scout       scout
	keepAll     bool // whatever the sieve says: to hold it against what it sieves
}

// blind reports that the sieve says nothing: every move and every bead is kept.
func (s *survey) blind() bool { return s.keepAll || s.sieve.relief.TooBig() }

func newSurvey(o Options, m Motion, progress func(float64)) (*survey, error) {
	head, err := newShape(o.Head)
	if err != nil {
		return nil, err
	}
	s := &survey{o: o, m: m, progress: progress, head: head, every: max(1, m.Steps/fewSteps), groups: groups{},
		report: Report{Least: Nearest{Distance: o.LookOut}, LeastBed: Nearest{Distance: math.Inf(1)}}}
	s.nearLookOut = head.nearLookOut()
	s.nearReach, s.fullReach = newReach(head, s.nearLookOut), newReach(head, o.LookOut)
	s.sieve = sieve{head: head, solids: head.solids(o.Obstacles), marks: &relief.Marks{}, obstacles: o.LookOut}
	if s.every > 1 {
		s.scout = newScout(head, o)
	}
	return s, nil
}

// nearLookOut is how near material is looked for in every move: at most the
// clearance that a square head has from its own shell.
func (s *shape) nearLookOut() float64 { return max(0, min(mostNearLookOut, s.flat.gap)) }

// step sieves a step.
func (s *survey) step(ctx context.Context, st *Step) error {
	if err := st.usable(); err != nil {
		return err
	}
	if s.n == math.MaxInt32-1 {
		return fmt.Errorf("%w: line %d: more than %d moves", ErrStep, st.Line, s.n)
	}
	s.n++
	if s.n&0xffff == 0 {
		s.progress(0.5 * min(1, float64(s.n)/float64(max(1, s.m.Steps))))
	}
	s.bed(st)
	u, r := check, s.nearReach
	if s.n%s.every == 0 {
		u, r = measure, s.fullReach
	}
	if !s.sieve.doubtful(st, r) && s.sieve.solids.bed(st.From, st.To).depth == 0 && !s.blind() {
		u = skipped
	}
	s.uses.put(s.n, u)
	b := s.head.bead(st)
	if b.thickness > 0 {
		s.report.Beads++
		laid := s.head.solid(st, &b)
		s.sieve.relief.Raise(&laid)
	}
	if s.sieve.marks.Len() > mostMarks {
		s.close()
	}
	if s.scout.add(st, &b, s.n) {
		return s.look(ctx)
	}
	return nil
}

// bed notes how near a move brings the head to the bed.
func (s *survey) bed(st *Step) {
	_, l := s.sieve.solids.lowestOf(st.From, st.To)
	if d := min(st.From.Tip.Z, st.To.Tip.Z) + l.p.Z; d < s.report.LeastBed.Distance {
		s.report.LeastBed = Nearest{Distance: d, At: l.over(st.From, st.To), Step: s.n, Line: st.Line, Zone: st.Zone, Part: l.part, Target: Bed}
	}
}

// solid returns the bead that a step lays as the relief takes it.
func (s *shape) solid(st *Step, b *bead) relief.Bead {
	t := b.strip(s.middle(st.From, b), s.middle(st.To, b))
	return relief.Bead{From: t.p, To: r3.Add(t.p, r3.Scale(t.l, t.u)), Across: r3.Scale(t.hv, t.v), Radius: t.rb, Up: t.n, Zone: st.Zone}
}

// close ends a portion.
func (s *survey) close() {
	s.portions = append(s.portions, portion{after: s.after, to: s.n, marks: s.sieve.marks})
	s.after, s.sieve.marks = s.n, &relief.Marks{}
}

// judge gathers the doubtful moves of a portion and the beads that may be near
// them, and moves the head through them.
func (s *survey) judge(ctx context.Context, i int) error {
	p := &s.portions[i]
	all := s.blind()
	if !all && !s.uses.any(p.after, p.to) {
		return nil
	}
	c := &checker{head: s.head, o: s.o, nearLookOut: s.nearLookOut}
	c.o.LookOut = s.lookOut()
	n := 0
	err := s.m.ahead(ctx, func(st *Step) error {
		if n++; n > p.to {
			return errEnough
		}
		u := skipped
		if n > p.after {
			u = s.uses.get(n)
		}
		b := s.head.bead(st)
		if b.thickness > 0 && !all {
			if laid := s.head.solid(st, &b); !p.marks.Touches(&laid) {
				b = bead{}
			}
		}
		if u != skipped || b.thickness > 0 {
			c.keep(st, &b, n, u)
		}
		return nil
	})
	if err != nil && err != errEnough {
		return err
	}
	p.marks = nil
	share := 0.5 / float64(len(s.portions))
	parts, err := c.sweep(ctx, func(done float64) { s.progress(0.5 + share*(float64(i)+done)) })
	if err != nil {
		return err
	}
	s.report.add(c, parts, s.groups)
	return nil
}

// lookOut is how far clearances are still of interest.
func (s *survey) lookOut() float64 { return max(s.report.Least.Distance, fineness) }

// finish returns the report.
func (s *survey) finish() Report {
	r := &s.report
	r.Steps = s.n
	r.Collisions = s.groups.list()
	r.Groups = len(r.Collisions)
	r.Collisions = r.Collisions[:min(r.Groups, mostListed)]
	s.progress(1)
	return *r
}
