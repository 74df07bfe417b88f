package window

import (
	"testing"

	"conewright/geom/job"
	"conewright/geom/machine"

	"fyne.io/fyne/v2/test"
)

func (b *bench) offSquareZone() bool {
	s := b.session.Setup()
	_, over := offSquare(s, s.Zones.Leaves()[0].Field)
	return over
}

func TestAFindingIsMendedByItsButton(t *testing.T) {
	straight, _ := machine.Builtin("straight")
	for _, c := range []struct {
		name, code string
		spoil      func(*job.Setup)
		faulty     func(b *bench) bool
	}{
		{"a cone at another angle than the head's", "off-square",
			func(s *job.Setup) { s.Zones.Field.Angle = 5 }, (*bench).offSquareZone},
		{"level shells under a tilted head", "off-square",
			func(s *job.Setup) { *s.Zones.Field = job.Field{Kind: job.KindLevel} }, (*bench).offSquareZone},
		{"a steep cone under a straight nozzle", "off-square",
			func(s *job.Setup) { s.Machine = job.Machine{Card: straight} }, (*bench).offSquareZone},
		{"a part beside the travel", "reach",
			func(s *job.Setup) { s.MovePart([2]float64{s.Machine.Card.Travel.X[1] + 40, 20}) },
			func(b *bench) bool {
				s := b.session.Setup()
				return len(job.BeyondTravel(b.session.Facts().Model.Mesh.Bounds(), &s.Machine.Card.Travel)) > 0
			}},
		{"lines too thin", "thin-line",
			func(s *job.Setup) { s.Bead = 0.36 },
			func(b *bench) bool { return !everyZone(b.session.Setup(), job.WideEnough) }},
		{"layers too high", "thin-line",
			func(s *job.Setup) { s.Shell = 0.24 },
			func(b *bench) bool { return !everyZone(b.session.Setup(), job.LowEnough) }},
	} {
		b := newBench(t)
		b.openPart()
		b.do("step.angle", c.spoil)
		fresh := func() bool { f := b.session.Facts(); return f.Setup == b.session.Setup() && f.Judged }
		b.until(c.name, fresh)
		if !c.faulty(b) {
			t.Errorf("%s: it isn't so", c.name)
			continue
		}
		b.judgedBy(job.Finding{Rank: job.Warn, Code: c.code, Zone: b.session.Setup().Zones.Leaves()[0].Name, Text: "it"},
			job.Finding{Rank: job.Note, Code: "axis-limit", Text: "nothing mends it"})
		b.route.show(b.route.find("check"))
		if !b.check.offers[0].Visible() || b.check.offers[1].Visible() {
			t.Errorf("%s: buttons are shown: %v, %v", c.name, b.check.offers[0].Visible(), b.check.offers[1].Visible())
			continue
		}
		test.Tap(b.check.offers[0])
		b.until(c.name+", mended", fresh)
		if c.faulty(b) {
			t.Errorf("%s: its button doesn't mend it", c.name)
		}
		if b.check.offers[0].Visible() {
			t.Errorf("%s: it is offered still, of a setup that isn't shown any more", c.name)
		}
		b.session.Undo()
		if !c.faulty(b) && c.code != "reach" {
			t.Errorf("%s: it isn't one step of the history", c.name)
		}
	}
}

func TestSuggestingIsOfferedOnceForManyMidAirStarts(t *testing.T) {
	b := newBench(t)
	b.openPart()
	start := job.Finding{Rank: job.Warn, Code: "midair-start", Zone: "part", Text: "it"}
	b.judgedBy(start, start, start)
	n := 0
	for _, button := range b.check.offers {
		if button.Visible() {
			n++
		}
	}
	if n != 1 {
		t.Errorf("%d buttons", n)
	}
}
