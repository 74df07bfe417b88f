package window

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"conewright/geom/job"
	"conewright/render/drawing"
)

// A copy and another part are added, changed one by one, saved, and run into one
// file.
func TestSeveralPartsAreMadeInTheWindow(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.route.show(b.route.find("part"))
	if err := b.session.CopyPart("step.copypart"); err != nil {
		t.Fatal(err)
	}
	b.judged()
	s := b.session.Setup()
	if got := strings.Join(partNames(s), " "); got != "spindle spindle-2" {
		t.Fatalf("parts %s", got)
	}
	if b.session.Part() != 1 {
		t.Errorf("part %d is chosen, want the copy", b.session.Part())
	}
	// Each part has its own place, and its own axis with it.
	first, second := s.Parts[0], s.Parts[1]
	if *first.Part.Seat == *second.Part.Seat {
		t.Error("the copy stands in the part")
	}
	for i, p := range s.Parts {
		if axis := p.Zones.Field.Axis; axis == nil || *axis != *p.Part.Seat {
			t.Errorf("part %d: axis %v, seat %v", i, axis, *p.Part.Seat)
		}
	}
	if at := b.sheet.Selected(); at != (drawing.Item{Kind: drawing.PartItem, Index: 1}) {
		t.Errorf("on the sheet %v is marked, want the copy", at)
	}
	// The page of zones is the chosen part's too, and chooses another.
	b.route.show(b.route.find("zones"))
	if b.zones.part.Selected != "spindle-2" || b.zones.chosen != s.Parts[1].Zones.Name {
		t.Errorf("the zones' page shows zone %s of %s", b.zones.chosen, b.zones.part.Selected)
	}
	b.zones.part.SetSelected("spindle")
	if b.session.Part() != 0 || b.zones.chosen != s.Parts[0].Zones.Name {
		t.Errorf("after another choice it shows zone %s, part %d", b.zones.chosen, b.session.Part())
	}
	b.session.ChoosePart(1)
	// What the pages change is the chosen part.
	b.do("step.seat", func(s *job.Setup) { s.MovePart([2]float64{60, 60}) })
	b.judged()
	if s := b.session.Setup(); *s.Parts[1].Part.Seat != [2]float64{60, 60} || *s.Parts[0].Part.Seat != *first.Part.Seat {
		t.Errorf("seats %v and %v", *s.Parts[0].Part.Seat, *s.Parts[1].Part.Seat)
	}
	// A click on the first part's axis chooses that part.
	b.selected(drawing.Item{Kind: drawing.AxisItem, Index: 0})
	if b.session.Part() != 0 || b.zones.chosen != s.Parts[0].Zones.Name {
		t.Errorf("part %d, zone %s chosen", b.session.Part(), b.zones.chosen)
	}
	b.zones.addCut()
	b.judged()
	if s := b.session.Setup(); len(s.Parts[0].Zones.Leaves()) != 2 || len(s.Parts[1].Zones.Leaves()) != 1 {
		t.Errorf("a cut of the first part: %d and %d zones", len(s.Parts[0].Zones.Leaves()), len(s.Parts[1].Zones.Leaves()))
	}
	b.session.Undo()
	b.judged()

	file := filepath.Join(b.dir, "two.json")
	if err := b.session.Save(file); err != nil {
		t.Fatal(err)
	}
	text, _ := os.ReadFile(file)
	if n := strings.Count(string(text), `"file": "spindle.stl"`); n != 2 {
		t.Errorf("%d parts of the saved job are named from its folder:\n%s", n, text)
	}
	b.startRun()
	b.until("the end of the run", func() bool { return !b.session.Run().Active })
	run := b.session.Run()
	if run.Result == nil {
		t.Fatal(run.Err)
	}
	if n := len(run.Result.Log.Zones); n != 2 || run.Result.Log.Zones[1].Part != "spindle-2" {
		t.Errorf("%d zones in the log", n)
	}
}

func TestPartsAreNamedOrderedAndRemoved(t *testing.T) {
	b := newBench(t)
	b.openPart()
	if err := b.session.AddPart(spindle(t, t.TempDir()), "step.addpart"); err != nil {
		t.Fatal(err)
	}
	b.judged()
	if err := b.session.RenamePart("step.rename", "no name"); err == nil {
		t.Error("a name with a blank is taken")
	}
	if err := b.session.RenamePart("step.rename", "right"); err != nil {
		t.Error(err)
	}
	if err := b.session.PrintEarlier("step.partorder"); err != nil {
		t.Error(err)
	}
	if got := strings.Join(partNames(b.session.Setup()), " "); got != "right spindle" || b.session.Part() != 0 {
		t.Errorf("%s, part %d chosen", got, b.session.Part())
	}
	if err := b.session.RemovePart("step.removepart"); err != nil {
		t.Error(err)
	}
	if s := b.session.Setup(); len(s.Parts) != 0 || b.session.Chosen() != s {
		t.Errorf("%d parts are left", len(s.Parts))
	}
	b.session.Undo()
	if len(b.session.Setup().Parts) != 2 {
		t.Error("removing can't be undone")
	}
}

// Parts in one another are shown and can be moved apart again; they aren't run.
func TestPartsInOneAnotherAreShownAndNotRun(t *testing.T) {
	b := newBench(t)
	b.openPart()
	if err := b.session.CopyPart("step.copypart"); err != nil {
		t.Fatal(err)
	}
	b.judged()
	b.do("step.seat", func(s *job.Setup) { s.MovePart(*b.session.Setup().Parts[0].Part.Seat) })
	b.until("figures of parts in one another", func() bool { return b.session.Facts().Setup == b.session.Setup() })
	f := b.session.Facts()
	if f.Model == nil || f.Err == nil || f.Overlap == nil {
		t.Fatalf("model %v, error %v", f.Model, f.Err)
	}
	if state, m := b.route.find("part").show(); m != markProblem {
		t.Errorf("the row says %q, mark %d", state, m)
	}
	b.startRun()
	b.until("the end of the run", func() bool { return !b.session.Run().Active })
	if b.session.Run().Result != nil || b.session.Run().Err == nil {
		t.Error("parts in one another were run")
	}
	b.do("step.seat", func(s *job.Setup) { s.MovePart([2]float64{60, 60}) })
	b.judged()
}

// Plans are suggested for the chosen part and taken for it alone; a foot is added to
// it alone; what a finding's button mends is the part that the finding is of.
func TestPlansAndMendingAreTheChosenPartsOwn(t *testing.T) {
	b := newBench(t)
	b.openPart()
	if err := b.session.CopyPart("step.copypart"); err != nil {
		t.Fatal(err)
	}
	b.judged()
	b.do("step.field", func(s *job.Setup) { setKind(s, s.Zones.Field, job.KindLevel) })
	b.judged()
	first := b.session.Setup().Parts[0].Zones.Field
	b.session.Suggest()
	b.until("plans", func() bool { i := b.session.Ideas(); return !i.Active && (len(i.List) > 0 || i.Err != nil) })
	if err := b.session.Ideas().Err; err != nil {
		t.Fatal(err)
	}
	b.zones.ideas.take(0, b.session.Ideas().List[0].Setup.Part.Turn)
	b.judged()
	s := b.session.Setup()
	if s.Parts[1].Zones.Leaves()[0].Field.Kind == job.KindLevel {
		t.Error("the copy's field is as it was")
	}
	if *s.Parts[0].Zones.Field.Axis != *first.Axis || s.Parts[0].Zones.Field.Kind != first.Kind {
		t.Error("the other part's field has changed")
	}
	seat, axis := *s.Parts[1].Part.Seat, s.Parts[1].Zones.Leaves()[0].Field.Axis
	if axis != nil && (axis[0]-seat[0] > 5 || seat[0]-axis[0] > 5) {
		t.Errorf("the copy stands at %v, its plan's axis at %v", seat, *axis)
	}

	// A level zone under a head that leans for good: the button is for its own part.
	b.session.ChoosePart(0)
	b.do("step.field", func(s *job.Setup) { setKind(s, s.Zones.Field, job.KindLevel) })
	b.session.ChoosePart(1)
	b.judged()
	words, mend := b.offer(&job.Finding{Code: "off-square", Zone: b.session.Setup().Parts[0].Zones.Name})
	if mend == nil {
		t.Fatalf("nothing mends it: %q", words)
	}
	mend()
	b.judged()
	field := b.session.Setup().Parts[0].Zones.Field
	if field.Kind != job.KindCone || *field.Axis != *b.session.Setup().Parts[0].Part.Seat {
		t.Errorf("mended to %s about %v, the part stands at %v", field.Kind, field.Axis, *b.session.Setup().Parts[0].Part.Seat)
	}
}
