package window

import (
	"testing"

	"conewright/geom/job"
	"conewright/geom/machine"

	"fyne.io/fyne/v2"
)

// places returns where an object and what it holds lie, within the window.
func places(o fyne.CanvasObject, at fyne.Position, into map[fyne.CanvasObject]fyne.Position) {
	at = at.Add(o.Position())
	into[o] = at
	if c, ok := o.(*fyne.Container); ok {
		for _, child := range c.Objects {
			places(child, at, into)
		}
	}
}

// Nothing jumps under a hand: when a number is refused and mended again, no
// control moves by more than its own height.
func TestNoControlJumpsWhenAFaultComesAndGoes(t *testing.T) {
	b := newBench(t)
	b.openPart()
	steady := func(what string, of fyne.CanvasObject, happens func()) {
		t.Helper()
		before, after := map[fyne.CanvasObject]fyne.Position{}, map[fyne.CanvasObject]fyne.Position{}
		places(of, fyne.Position{}, before)
		happens()
		places(of, fyne.Position{}, after)
		for o, was := range before {
			at, ok := after[o]
			if _, holds := o.(*fyne.Container); holds || !ok || !o.Visible() {
				continue
			}
			if moved := at.Y - was.Y; moved > o.Size().Height || -moved > o.Size().Height {
				t.Errorf("%s: %T moved by %g, it is %g high", what, o, moved, o.Size().Height)
			}
		}
	}
	b.pane.lay("pieces")
	steady("a reading that can't be", b.pane.view, func() { b.pieces.reading.SetText("9") })
	steady("a reading", b.pane.view, func() { b.pieces.reading.SetText("1.3") })
	b.pane.lay("")
	b.until("the figures", func() bool { f := b.session.Facts(); return f != nil && f.Setup == b.session.Setup() && f.Judged })
	for _, page := range []string{"part", "machine", "shells", "warped", "motion", "check", "zones"} {
		b.route.show(b.route.find(page))
		steady("figures of another state on "+page, b.route.box, func() { b.do("step.angle", func(s *job.Setup) { s.Zones.Field.Angle -= 1 }) })
		steady("figures come on "+page, b.route.box, func() {
			b.until("the figures", func() bool { f := b.session.Facts(); return f.Setup == b.session.Setup() && f.Judged })
		})
	}
	steady("an angle that can't be printed", b.route.box, func() { b.zones.angle.SetText("95"); b.zones.angle.OnSubmitted("95") })
	steady("the angle is mended", b.route.box, func() { b.zones.angle.SetText("40"); b.zones.angle.OnSubmitted("40") })
	b.pane.lay("card")
	steady("a nozzle that no machine has", b.pane.view, func() { b.card.change(func(c *machine.Card) { c.Nozzle = 99 }) })
	if !b.card.unfinished() || b.route.find("machine").row.mark == markDone {
		t.Error("an unfinished card is ticked")
	}
	steady("the nozzle is mended", b.pane.view, func() { b.card.change(func(c *machine.Card) { c.Nozzle = 0.6 }) })
	if b.card.unfinished() {
		t.Error("a mended card is unfinished")
	}
}
