package window

import (
	"testing"

	"conewright/geom/job"
	"conewright/render/drawing"

	"fyne.io/fyne/v2/test"
)

// judgedBy puts findings before the window as a run's.
func (b *bench) judgedBy(findings ...job.Finding) {
	run := b.session.Run()
	run.Setup = b.session.Setup()
	run.Result = &job.Result{Setup: run.Setup, Log: &job.Log{Findings: findings}}
	b.refresh()
}

func TestAFindingIsTurnedToAndItsSignLeadsBack(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.judgedBy(
		job.Finding{Rank: job.Stop, Code: "collision", At: [3]float64{131, 105, 2}, Text: "one"},
		job.Finding{Rank: job.Note, Code: "thin-contact", At: [3]float64{125, 110, 0}, Text: "two"},
		job.Finding{Rank: job.Note, Code: "rate", Text: "nowhere"},
	)
	b.route.show(b.route.find("check"))
	if len(b.check.rows) != 3 {
		t.Fatalf("%d rows", len(b.check.rows))
	}
	test.Tap(b.check.rows[1]) // a note has no sign until it is chosen
	in, _ := b.scene()
	item := b.sheet.Selected()
	if item.Kind != drawing.FindingItem || item.Index >= len(in.Findings) || in.Findings[item.Index].Y != 110 {
		t.Fatalf("selected is %v of %v", item, in.Findings)
	}
	if !b.check.rows[1].chosen || b.check.rows[0].chosen {
		t.Error("the list doesn't show which")
	}
	test.Tap(b.check.rows[2])
	if b.sheet.Selected() != item {
		t.Error("a finding without a place was turned to")
	}
	b.route.show(b.route.find("zones"))
	b.editOnSheet().Select(drawing.Item{Kind: drawing.FindingItem, Index: 0})
	if b.route.open.key != "check" || b.check.chosen != 0 {
		t.Errorf("its sign leads to page %s, finding %d", b.route.open.key, b.check.chosen)
	}
}
