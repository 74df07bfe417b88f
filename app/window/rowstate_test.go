package window

import (
	"testing"

	"conewright/app/session"
	"conewright/geom/job"
	"conewright/geom/machine"
)

func TestNothingIsTickedThatHasAStopOrAWarning(t *testing.T) {
	for _, c := range []struct {
		name, page, rank, code string
		had, want              mark
	}{
		{"nothing found", "zones", "", "", markDone, markDone},
		{"a note", "motion", job.Note, "flow-limit", markDone, markDone},
		{"an overhang", "zones", job.Warn, "overhang", markDone, markNeeds},
		{"an overhang isn't the part's", "part", job.Warn, "overhang", markDone, markDone},
		{"all stand under check", "check", job.Warn, "overhang", markDone, markNeeds},
		{"the part reaches too far", "part", job.Warn, "reach", markDone, markNeeds},
		{"thin lines", "shells", job.Warn, "thin-line", markDone, markNeeds},
		{"a collision", "motion", job.Stop, "collision", markDone, markProblem},
		{"a code of a later version", "motion", job.Warn, "new", markDone, markNeeds},
		{"what isn't done stays so", "motion", job.Warn, "rate", markNone, markNone},
	} {
		var found []job.Finding
		if c.rank != "" {
			found = []job.Finding{{Rank: c.rank, Code: c.code}}
		}
		if got := markWith(c.had, c.page, found); got != c.want {
			t.Errorf("%s: %d, want %d", c.name, got, c.want)
		}
	}
}

func TestTheZonesSignSaysWhatTheFiguresSay(t *testing.T) {
	straight, _ := machine.Builtin("straight")
	tilted, _ := machine.Builtin("swivel-45")
	for _, c := range []struct {
		name  string
		card  *machine.Card
		field job.Field
		facts session.Facts
		want  mark
	}{
		{"not judged yet", tilted, job.Field{Kind: job.KindCone, Angle: 45}, session.Facts{}, markNone},
		{"all held", tilted, job.Field{Kind: job.KindCone, Angle: 45}, session.Facts{Judged: true, Zones: make([]session.ZoneFacts, 1)}, markDone},
		{"overhang", tilted, job.Field{Kind: job.KindCone, Angle: 45}, session.Facts{Judged: true, Zones: []session.ZoneFacts{{Overhang: 3560}}}, markNeeds},
		{"a speck of overhang", tilted, job.Field{Kind: job.KindCone, Angle: 45}, session.Facts{Judged: true, Zones: []session.ZoneFacts{{Overhang: 0.1}}}, markDone},
		{"a mid-air start", tilted, job.Field{Kind: job.KindCone, Angle: 45}, session.Facts{Judged: true, Zones: []session.ZoneFacts{{MidAirStarts: 1}}}, markNeeds},
		{"a steep cone under a straight nozzle", straight, job.Field{Kind: job.KindCone, Angle: 45}, session.Facts{Judged: true}, markNeeds},
		{"level under a straight nozzle", straight, job.Field{Kind: job.KindLevel}, session.Facts{Judged: true}, markDone},
		{"level under a tilted one", tilted, job.Field{Kind: job.KindLevel}, session.Facts{Judged: true}, markNeeds},
	} {
		s := &job.Setup{Machine: job.Machine{Card: c.card}, Zones: &job.Zone{Name: "part", Field: &c.field}}
		c.facts.Setup = s
		if got := zonesMark(s, &c.facts); got != c.want {
			t.Errorf("%s: %d, want %d", c.name, got, c.want)
		}
	}
}
