package window

import (
	"math"
	"slices"

	"conewright/app/session"
	"conewright/geom/job"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// pageOf tells to which operation a finding belongs. The others are about the
// motion.
var pageOf = map[string]string{
	"mesh": "part", "reach": "part",
	"off-square": "zones", "overhang": "zones", "midair-start": "zones",
	"thin-line": "shells",
}

// markWith returns an operation's mark once the findings of a run of the setup
// that is shown are known: nothing is ticked that has a stop or a warning.
func markWith(m mark, page string, findings []job.Finding) mark {
	for i := range findings {
		f := &findings[i]
		of, ok := pageOf[f.Code]
		if !ok {
			of = "motion"
		}
		if of != page && page != "check" {
			continue
		}
		switch {
		case f.Rank == job.Stop && m == markDone:
			m = markProblem
		case f.Rank == job.Warn && m == markDone:
			m = markNeeds
		}
	}
	return m
}

// current returns the findings of the newest run, if it was of the setup that is
// shown.
func (w *Window) current() []job.Finding {
	run := w.session.Run()
	if run.Result == nil || run.Active || run.Setup != w.session.Setup() {
		return nil
	}
	return run.Result.Log.Findings
}

// leastUnsupported is the unsupported area, mm2, below which nobody need look:
// about a bead's width squared.
const leastUnsupported = 0.25

// zonesMark tells what the figures say of the zones: not yet while they are
// worked out, and a look where something hangs, begins in mid-air or stands off
// square.
func zonesMark(s *job.Setup, f *session.Facts) mark {
	if f == nil || f.Setup != s || !f.Judged {
		return markNone
	}
	hangs := slices.ContainsFunc(f.Zones, func(z session.ZoneFacts) bool {
		return z.Overhang > leastUnsupported || z.MidAirStarts > 0
	})
	slanted := slices.ContainsFunc(s.Leaves(), func(z *job.Zone) bool {
		_, over := offSquare(s, z.Field)
		return over
	})
	if hangs || slanted {
		return markNeeds
	}
	return markDone
}

// offSquare returns how far, degrees, a head that can't lean otherwise stands
// off square on a field's steepest shells, and whether that is over what its card
// allows. A cone is level at its axis: its steepest shells are what counts.
func offSquare(s *job.Setup, f *job.Field) (off float64, over bool) {
	card := s.Machine.Card
	if len(card.Rotary) > 0 {
		return 0, false // the head or bed turns toward the shells
	}
	off = math.Abs(f.Steepest() - card.Head.Tilt)
	if lift := f.Lift(); card.LeansFixed() && lift.Linear() {
		axis, n := card.NozzleAxis(0), lift.Normal(r2.Vec{})
		off = math.Atan2(r3.Norm(r3.Cross(axis, n)), r3.Dot(axis, n)) * 180 / math.Pi
	}
	return off, off > card.Head.OffSquare+1e-6
}
