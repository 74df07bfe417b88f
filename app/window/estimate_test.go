package window

import (
	"math"
	"strings"
	"testing"

	"conewright/geom/job"
)

// TestBeforeARunThePageTellsWhatThePlanTakes holds the figures against the run's, and
// follows them through a change and a run.
func TestBeforeARunThePageTellsWhatThePlanTakes(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.route.show(b.route.find("motion"))
	known := func() bool {
		e := b.session.Estimate()
		return e.Setup == b.session.Setup() && e.Result != nil
	}
	b.until("an estimate", known)
	text := b.motion.estimate.Text
	if !b.motion.estimate.Visible() || !strings.HasPrefix(text, "Estimate before the run: about ") {
		t.Fatalf("the page says %q", text)
	}
	if state := b.route.find("motion").row.state; !strings.HasPrefix(state, "not run yet, about ") {
		t.Errorf("the row says %q", state)
	}
	before := *b.session.Estimate().Result

	b.do("step.fill", func(s *job.Setup) { s.Planner.Fill = 1 })
	if got := b.motion.estimate.Text; got != text+" …" {
		t.Errorf("after a change the page says %q", got)
	}
	b.until("a new estimate", known)
	solid := *b.session.Estimate().Result
	if !(solid.Filament > 1.1*before.Filament) {
		t.Errorf("solid it takes %.0f mm of filament, sparse %.0f", solid.Filament, before.Filament)
	}

	b.session.Start(b.motion.options())
	b.until("a run", func() bool { r := b.session.Run(); return !r.Active && r.Result != nil })
	m := b.session.Run().Result.Log.Motion
	if math.Abs(m.Seconds-solid.Seconds) > 0.1*m.Seconds || math.Abs(m.Filament-solid.Filament) > 0.1*m.Filament {
		t.Errorf("the run takes %.0f s and %.0f mm, estimated were %.0f and %.0f", m.Seconds, m.Filament, solid.Seconds, solid.Filament)
	}
	if b.motion.estimate.Visible() {
		t.Errorf("beside the run's figures stands %q", b.motion.estimate.Text)
	}
}
