package session

import (
	"context"
	"time"

	"conewright/geom/job"
)

// Estimate is what the plan of a setup will take, before any run. The zero value:
// nobody has looked yet.
type Estimate struct {
	Setup  *job.Setup    // what it is of, or is being worked out for
	Result *job.Estimate // nil while it is worked out, and with Err
	Err    error         // why the setup's motion can't be planned
}

// Estimate returns the newest estimate. While that of a changed setup is worked out
// it is still the one before, with its own Setup.
func (s *Session) Estimate() Estimate { return s.estimate }

// estimateRest is how long a setup must have rested before its motion is planned:
// typing and arrow keys go on meanwhile.
const estimateRest = 150 * time.Millisecond

// askEstimate begins to work out what the newest facts' plan takes, unless that is
// known or under way.
func (s *Session) askEstimate(f *Facts) {
	if s.preview != nil || !f.Judged || f.Err != nil || f.Setup != s.Setup() {
		return
	}
	if s.estimating.asked == f.Setup && s.estimating.model == f.Model {
		return
	}
	s.estimating.asked, s.estimating.model = f.Setup, f.Model
	s.estimating.Ask(estimateRequest{f, s.opened})
}

// estimateRequest is the facts of a setup that rests.
type estimateRequest struct {
	facts  *Facts
	opened int
}

// estimator works out estimates, the newest one asked for.
type estimator struct {
	Latest[estimateRequest]
	asked *job.Setup // of the newest request; nil: none
	model *job.Model // of it: a part's file may change under a setup
}

// stopFor ends work on another setup than the one that is shown.
func (e *estimator) stopFor(shown *job.Setup) {
	if e.asked != shown {
		e.Stop()
		e.asked, e.model = nil, nil
	}
}

// closingWait is how long closing waits for an estimate that is given up: it removes
// its temporary folder.
const closingWait = time.Second

// end gives up what is under way and waits until its folder is gone.
func (e *estimator) end() {
	e.Stop()
	for late := time.Now().Add(closingWait); !e.Idle() && time.Now().Before(late); {
		time.Sleep(5 * time.Millisecond)
	}
}

// findEstimate is the worker: off the event loop, one at a time.
func (s *Session) findEstimate(ctx context.Context, r estimateRequest) {
	select {
	case <-ctx.Done():
		return
	case <-time.After(estimateRest):
	}
	f := r.facts
	e := Estimate{Setup: f.Setup}
	e.Result, e.Err = job.EstimatePlan(ctx, f.Setup, f.Model, f.Regions)
	if ctx.Err() != nil {
		return
	}
	s.post(func() {
		if s.opened == r.opened && s.estimating.asked == f.Setup && s.estimating.model == f.Model {
			s.estimate = e
			s.changed()
		}
	})
}
