package clearance

import "context"

// scout measures a few hundred moves early in the motion, and again each time the
// motion has become twice as long. The least clearance it finds bounds how far
// around later moves the search has to look. It holds the last scoutSteps steps.
type scout struct {
	head *shape
	o    Options
	next int // step after which it looks
	kept *checker
}

// shellSpread is how much, mm, the clearance of a head from the shell that it lays
// differs from move to move. Only what is nearer than that clearance by shellSpread
// is looked for in every move.
const shellSpread = 0.15

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
		s.kept = &checker{head: s.head, o: s.o, nearLookOut: s.head.nearLookOut()}
	}
	u := skipped
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
	if d := s.report.Least.Distance; d > 0 && d < s.fullReach.need {
		s.fullReach = newReach(s.head, d)
		s.nearLookOut = min(s.head.nearLookOut(), max(0, d-shellSpread))
		s.nearReach = newReach(s.head, s.nearLookOut)
		s.sieve.obstacles = d
	}
	return nil
}
