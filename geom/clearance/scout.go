package clearance

import "context"

// scout holds the last steps of a motion and judges some of them now and then,
// each time after twice as many. The least clearance that it finds says early
// how far the moves that are measured must be looked around.
type scout struct {
	head *shape
	o    Options
	next int // step after which it looks
	kept *checker
}

// usualSpread is how much, mm, the clearance of a head from the very shell that
// it lays differs from move to move: where that is less than ample, moves are
// looked into one by one only for what is nearer by this.
const usualSpread = 0.15

const (
	scoutSteps  = 4096 // that it holds at most
	scoutJudged = 256  // of these, the last ones
)

func newScout(h *shape, o Options) scout { return scout{head: h, o: o, next: scoutSteps} }

// add adds step i and reports that it is time to look.
func (s *scout) add(st *Step, b *bead, i int) bool {
	if s.head == nil || i <= s.next-scoutSteps {
		return false
	}
	if s.kept == nil {
		s.kept = &checker{head: s.head, o: s.o, ample: s.head.ample()}
	}
	u := jump
	if i > s.next-scoutJudged {
		u = measure
	}
	s.kept.keep(st, b, i, u)
	return i == s.next
}

// look judges what the scout holds.
func (s *survey) look(ctx context.Context) error {
	c := s.scout.kept
	s.scout.kept, s.scout.next = nil, 2*s.scout.next
	c.o.LookOut = s.lookOut()
	parts, err := c.sweep(ctx, func(float64) {})
	if err != nil {
		return err
	}
	for _, p := range parts {
		if p.least.Distance < s.report.Least.Distance {
			s.report.Least = c.named(p.least)
		}
	}
	if d := s.report.Least.Distance; d > 0 && d < s.measured.need {
		s.measured = newReach(s.head, d)
		s.ample = min(s.head.ample(), max(0, d-usualSpread))
		s.usual = newReach(s.head, s.ample)
		s.sieve.obstacles = d
	}
	return nil
}
