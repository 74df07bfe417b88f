package window

import (
	"testing"

	"conewright/geom/job"
	"conewright/geom/machine"
	"conewright/i18n"
)

func TestEveryFieldOfTheShellsPageSetsItsOwnNumber(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.route.show(b.route.find("shells"))
	b.shells.unfold(true)
	rows := append(b.shells.form.Objects, b.shells.extra.Objects...)
	changed := 0
	for i, o := range rows {
		before := b.session.Setup()
		if o == b.shells.filament.price {
			continue // no number of the job
		}
		switch f := o.(type) {
		case *numberField:
			now, err := parseNumber(f.Text)
			if err != nil {
				t.Fatal(err)
			}
			next := now * 0.9
			switch {
			case now < 10 && f.decimals < 2:
				next = now + 1
			case f.decimals == 0:
				next = now - 5
			}
			f.SetText(i18n.Number(next, f.decimals))
			f.take()
		case *choice:
			f.SetSelectedIndex((f.SelectedIndex() + 1) % len(f.values))
		default:
			continue
		}
		after := b.session.Setup()
		if after == before {
			t.Errorf("row %d changes nothing", i/2)
			continue
		}
		changed++
		if after.Planner == before.Planner && after.Material == before.Material && after.Shell == before.Shell &&
			after.Bead == before.Bead && after.Tolerance == before.Tolerance && after.Overhang == before.Overhang && after.Support == before.Support {
			t.Errorf("row %d changes something else", i/2)
		}
		b.session.Undo()
	}
	if changed != 25 {
		t.Errorf("%d of 25 fields work", changed)
	}
}

func TestAFootIsOfferedWhereTheHeadPrintsLevelShells(t *testing.T) {
	b := newBench(t)
	b.openPart()
	if b.zones.foot.Visible() {
		t.Error("a head of 45 degrees is offered level shells")
	}
	card, ok := machine.Builtin("straight")
	if !ok {
		t.Fatal("no straight card")
	}
	b.do("step.machine", func(s *job.Setup) {
		s.Machine = job.Machine{Ref: "straight", Card: card}
		s.Zones.Field.Angle = 15
	})
	if !b.zones.foot.Visible() {
		t.Fatal("a straight nozzle isn't offered a foot")
	}
	b.zones.foot.OnTapped()
	if s := b.session.Setup(); !s.Footed() || len(s.Zones.Leaves()) != 2 {
		t.Error("the part stands on no foot")
	}
	if b.zones.foot.Visible() {
		t.Error("another foot is offered")
	}
	if b.session.UndoName() != "step.foot" {
		t.Errorf("the step is %q", b.session.UndoName())
	}
}

// A run would warn of lines too thin or layers too high for the nozzle: the row says it
// before, and the page mends it.
func TestNumbersThatNoNozzlePrintsAreSaidBeforeARun(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.route.show(b.route.find("shells"))
	row := b.route.find("shells").row
	if row.mark != markDone || b.shells.mend.button.Visible() {
		t.Fatalf("with the first numbers the row's sign is %d", row.mark)
	}
	for name, spoil := range map[string]func(*job.Setup){
		"lines too thin":  func(s *job.Setup) { s.Shell, s.Bead = 0.2, 0.36 },
		"layers too high": func(s *job.Setup) { s.Shell, s.Bead = 0.24, 0.45 },
	} {
		b.do("step.bead", spoil)
		if row.mark != markNeeds || !b.shells.mend.button.Visible() {
			t.Errorf("%s: sign %d, button %v", name, row.mark, b.shells.mend.button.Visible())
			continue
		}
		b.shells.mend.button.OnTapped()
		if row.mark != markDone || b.shells.mend.button.Visible() {
			t.Errorf("%s, mended: sign %d", name, row.mark)
		}
	}
}
