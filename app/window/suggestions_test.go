package window

import "testing"

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
