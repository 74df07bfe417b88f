package window

import (
	"strings"
	"testing"

	"conewright/geom/job"
	"conewright/geom/suggest"
	"conewright/i18n"
)

// Where the first plan leaves something, the list says so before it, and where support
// is chosen.
func TestTheListSaysWhereNoPlanCarriesThePart(t *testing.T) {
	page := i18n.T("route.shells")
	for _, q := range []struct {
		figures suggest.Figures
		support string
		want    string
	}{
		{suggest.Figures{}, job.SupportNone, i18n.T("ideas.found")},
		{suggest.Figures{MidairStarts: 1}, job.SupportNone, i18n.T("ideas.left", "page", page)},
		{suggest.Figures{OverhangArea: 30}, job.SupportAll, i18n.T("ideas.held", "page", page)},
	} {
		text := foundText([]job.Suggestion{{Setup: &job.Setup{Support: q.support}, Plan: suggest.Plan{Figures: q.figures}}})
		if !strings.HasPrefix(text, q.want) || !strings.HasSuffix(text, i18n.T("ideas.found")) {
			t.Errorf("%+v: %q", q, text)
		}
	}
}

func TestASuggestedPlanIsListedAndTakenOnlyWhenAsked(t *testing.T) {
	if testing.Short() {
		t.Skip("searches for plans")
	}
	b := newBench(t)
	b.openPart()
	was := b.session.Setup()
	b.session.Suggest()
	b.until("suggestions", func() bool { return !b.session.Ideas().Active })
	ideas := b.session.Ideas()
	if ideas.Err != nil || len(ideas.List) == 0 {
		t.Fatalf("%d plans, %v", len(ideas.List), ideas.Err)
	}
	if b.session.Setup() != was {
		t.Error("a plan was applied by itself")
	}
	if n := len(b.zones.ideas.list.Objects); n != len(ideas.List) {
		t.Errorf("%d plans are listed, not %d", n, len(ideas.List))
	}
	if err := b.session.Adopt(0, "step.idea"); err != nil {
		t.Fatal(err)
	}
	if b.session.UndoName() != "step.idea" || b.session.Setup().Zones == was.Zones {
		t.Error("taking a plan is no step of the history")
	}
}
