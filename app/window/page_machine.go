package window

import (
	"strings"

	"conewright/app/focus"
	"conewright/geom/machine"
	"conewright/i18n"

	"fyne.io/fyne/v2/container"
)

// newMachinePage is operation 20: which machine card.
func newMachinePage(w *Window) *page {
	card := w.newMachineChoice()
	edit := focus.NewButton(i18n.T("machine.edit"), func() { w.pane.lay("card") })
	tune := focus.NewButton(i18n.T("machine.calibrate"), func() { w.pane.lay("calibrate") })
	pieces := focus.NewButton(i18n.T("machine.pieces"), func() { w.pane.lay("pieces") })
	tell := focus.NewButton(i18n.T("describe.open"), func() { w.guide.begin() })
	facts := remark()
	p := &page{number: "20", key: "machine", body: container.NewVBox(
		fields(caption(i18n.T("machine.card")), card), facts, edit, tune, pieces, tell)}
	p.show = func() (string, mark) {
		s := w.session.Setup()
		w.pane.leave()
		w.showMachine(card)
		enable(edit, s != nil)
		enable(pieces, s != nil)
		enable(tune, s != nil && s.Machine.Card.Swivel != nil)
		if s == nil {
			next := w.mine.card(w.nextMachine())
			if next == nil {
				say(facts, "")
				return i18n.T("state.later"), markNone
			}
			say(facts, machineText(next))
			return next.Name, chosen(w)
		}
		say(facts, machineText(s.Machine.Card))
		name := s.Machine.Card.Name
		if w.card.unfinished() {
			return i18n.T("machine.state.unfinished", "name", name), markNeeds
		}
		if len(s.Machine.Card.Rotary) > 0 {
			return i18n.T("machine.state.axes", "name", name, "axes", turningAxes(s.Machine.Card)), markDone
		}
		if s.Machine.Card.Swivel == nil {
			return i18n.T("machine.state.straight", "name", name), markDone
		}
		return i18n.T("machine.state", "name", name, "tilt", i18n.Number(s.Machine.Card.Head.Tilt, 0)), markDone
	}
	return p
}

// chosen says whether somebody has chosen the machine of the next part.
func chosen(w *Window) mark {
	if w.settings.Machine == "" {
		return markNone
	}
	return markDone
}

// turningAxes lists a card's turning axes: "C of the head, B of the head".
func turningAxes(c *machine.Card) string {
	var axes []string
	for _, r := range c.Rotary {
		axes = append(axes, axisName(r.Letter, r.On))
	}
	return strings.Join(axes, ", ")
}

// axisName tells a turning axis by its letter and what it turns.
func axisName(letter, on string) string {
	if on == machine.OnBed {
		return i18n.T("machine.ofbed", "letter", letter)
	}
	return i18n.T("machine.ofhead", "letter", letter)
}

// endlessAxis returns the letter of the axis without end, "" where all end.
func endlessAxis(c *machine.Card) string {
	for i, l := range [3]machine.Limits{c.Travel.X, c.Travel.Y, c.Travel.Z} {
		if l.Endless() {
			return "XYZ"[i : i+1]
		}
	}
	return ""
}

// machineText describes a card in a few lines.
func machineText(c *machine.Card) string {
	t := c.Travel
	text := i18n.T("machine.travel",
		"x", i18n.Number(t.X[1]-t.X[0], 0), "y", i18n.Number(t.Y[1]-t.Y[0], 0), "z", i18n.Number(t.Z[1]-t.Z[0], 0))
	switch {
	case len(c.Rotary) > 0:
		text += "\n" + i18n.T("machine.axes", "axes", turningAxes(c))
	case c.LeansFixed():
		text += "\n" + i18n.T("machine.fixed")
	case c.Swivel == nil:
		text += "\n" + i18n.T("machine.noswivel")
	case c.Swivel.Range == nil:
		text += "\n" + i18n.T("machine.endless", "letter", c.Swivel.Letter)
	default:
		text += "\n" + i18n.T("machine.range", "letter", c.Swivel.Letter,
			"from", i18n.Number(c.Swivel.Range[0], 0), "to", i18n.Number(c.Swivel.Range[1], 0))
	}
	if belt := endlessAxis(c); belt != "" {
		text += "\n" + i18n.T("machine.belt", "letter", belt)
	}
	return text + "\n" + i18n.T("machine.square", "tilt", i18n.Number(c.Head.Tilt, 0), "off", i18n.Number(c.Head.OffSquare, 0))
}
