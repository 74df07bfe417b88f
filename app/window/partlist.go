package window

import (
	"slices"
	"strings"

	"conewright/app/focus"
	"conewright/geom/job"
	"conewright/i18n"
	"conewright/render/drawing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// partList is the part of operation 10 that tells which parts share the bed: it
// chooses one of them, adds and removes.
type partList struct {
	w               *Window
	choice          *choice
	marked          int // the part that was last marked on the sheet
	name            *textField
	order           *widget.Label
	choose          fyne.CanvasObject // choice and name
	add, copied     *focus.Button
	earlier, remove *focus.Button
	buttons, more   fyne.CanvasObject
}

func newPartList(w *Window) *partList {
	l := &partList{w: w, order: remark()}
	l.choice = newPartChoice(w)
	l.name = newTextField(func(name string) error { return w.session.RenamePart("step.rename", name) }, w.tellNumber)
	l.add = focus.NewButton(i18n.T("parts.add"), l.askAdd)
	l.copied = focus.NewButton(i18n.T("parts.copy"), l.doing(func() error { return w.session.CopyPart("step.copypart") }))
	l.earlier = focus.NewButton(i18n.T("parts.earlier"), l.doing(func() error { return w.session.PrintEarlier("step.partorder") }))
	l.remove = focus.NewButton(i18n.T("parts.remove"), l.doing(func() error { return w.session.RemovePart("step.removepart") }))
	l.choose = fields(caption(i18n.T("parts.part")), l.choice, caption(i18n.T("parts.name")), l.name)
	l.buttons = container.NewGridWithColumns(2, l.add, l.copied)
	l.more = container.NewVBox(container.NewGridWithColumns(2, l.earlier, l.remove), l.order)
	return l
}

// newPartChoice is a choice of the parts on the bed.
func newPartChoice(w *Window) *choice {
	return newChoice(nil, sameText, func(name string) {
		w.session.ChoosePart(slices.Index(partNames(w.session.Setup()), name))
	})
}

// showParts shows the chosen one of several parts in a choice.
func showParts(w *Window, c *choice) {
	names := partNames(w.session.Setup())
	if !slices.Equal(names, c.values) {
		c.offer(names, sameText)
	}
	if len(names) > 0 {
		c.show(names[w.session.Part()])
	}
}

// mark marks the chosen part on the sheet once another one is chosen.
func (l *partList) mark(part int) {
	if kind := l.w.sheet.Selected().Kind; part == l.marked || kind != drawing.Nothing && kind != drawing.PartItem && kind != drawing.PartTurnItem {
		l.marked = part
		return
	}
	l.marked = part
	if at := l.w.sheet.Selected(); at.Kind != drawing.PartTurnItem || at.Index != part {
		l.w.sheet.Select(drawing.Item{Kind: drawing.PartItem, Index: part})
	}
}

// doing returns what a button does, which says why it can't.
func (l *partList) doing(do func() error) func() {
	return func() {
		if err := do(); err != nil {
			l.w.complain(err)
		}
		l.w.refresh()
	}
}

// askAdd asks for the file of another part.
func (l *partList) askAdd() {
	l.w.askFile(i18n.T("parts.add"), partEndings[:3], l.w.addPart)
}

// addPart adds the part of a file to those on the bed, or says why it can't.
func (w *Window) addPart(path string) {
	if err := w.session.AddPart(path, "step.addpart"); err != nil {
		w.complain(err)
	}
	w.route.show(w.route.find("part"))
	w.refresh()
}

// partNames lists the names of several parts in printing order; none for one.
func partNames(s *job.Setup) []string {
	if s == nil {
		return nil
	}
	var names []string
	for _, p := range s.Parts {
		names = append(names, p.Name)
	}
	return names
}

func (l *partList) show(s *job.Setup) {
	names, at := partNames(s), l.w.session.Part()
	several := len(names) > 0
	visible(l.buttons, s != nil)
	visible(l.choose, several)
	visible(l.more, several)
	enable(l.copied, l.w.session.ChosenModel() != nil)
	if !several {
		l.marked = 0
		return
	}
	showParts(l.w, l.choice)
	l.mark(at)
	l.name.show(names[at])
	enable(l.earlier, at > 0)
	say(l.order, i18n.T("parts.order", "parts", strings.Join(names, ", ")))
}
