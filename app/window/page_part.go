package window

import (
	"os"
	"path/filepath"
	"slices"

	"conewright/app/focus"
	"conewright/app/session"
	"conewright/geom/job"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// units are those of a part file, in the order of the choice.
var units = []string{"mm", "cm", "m", "in"}

// newPartPage is operation 10: which file, what its numbers mean, how it stands.
func newPartPage(w *Window) *page {
	file := widget.NewLabel("")
	file.Truncation = fyne.TextTruncateEllipsis
	open := focus.NewButton(i18n.T("part.open"), w.askOpen)
	other := focus.NewButton(i18n.T("part.replace"), w.askReplace)
	unit := newChoice(units, func(u string) string { return i18n.T("unit." + u) }, func(u string) {
		w.do("step.unit", func(s *job.Setup) { s.Part.Unit = u })
	})
	var turn [3]*numberField
	for i := range turn {
		turn[i] = w.number(1, 90, "step.turn", func(s *job.Setup, v float64) { w.turnPart(s, i, v) })
	}
	var seat [2]*numberField
	for i := range seat {
		seat[i] = w.number(1, 0.1, "step.seat", func(s *job.Setup, v float64) {
			to := *s.Part.Seat
			to[i] = v
			s.MovePart(to)
		})
	}
	health := remark()
	inches := focus.NewButton(i18n.T("part.inches"), func() {
		w.do("step.unit", func(s *job.Setup) { s.Part.Unit = "in" })
	})
	middle := newRemedyButton(w)
	lay := focus.NewButton(i18n.T("part.laydown"), w.layNext)
	form := fields(
		caption(i18n.T("part.unit")), unit,
		caption(i18n.T("part.turn")), container.NewGridWithColumns(3, turn[0], turn[1], turn[2]),
		caption(i18n.T("part.seat")), container.NewGridWithColumns(2, seat[0], seat[1]),
	)
	parts := newPartList(w)
	p := &page{number: "10", key: "part", body: container.NewVBox(parts.choose, file, open, other, parts.buttons, parts.more, form, lay, health, inches, middle.button)}
	p.show = func() (string, mark) {
		s := w.session.Chosen()
		parts.show(w.session.Setup())
		if s == nil {
			form.Hide()
			lay.Hide()
			health.Hide()
			file.Hide()
			inches.Hide()
			middle.show(nil)
			other.Hide()
			return i18n.T("part.none"), markNone
		}
		form.Show()
		lay.Show()
		enable(lay, w.standing() != nil)
		other.Show()
		other.SetText(i18n.T("part.replace"))
		file.Show()
		file.SetText(filepath.Base(s.Part.File))
		unit.show(s.Part.Unit)
		for i := range turn {
			turn[i].show(s.Part.Turn[i])
		}
		for i := range seat {
			seat[i].show(s.Part.Seat[i])
		}
		f := w.session.Facts()
		visible(inches, f != nil && tinyPart(w) && s.Part.Unit == "mm")
		middle.show(nil)
		if f == nil {
			say(health, "")
			return i18n.T("state.reading"), markNone
		}
		if f.Part == nil {
			say(health, errorText(f.Err))
			if missingPart(w.session.Setup()) >= 0 {
				other.SetText(i18n.T("part.find"))
			}
			return i18n.T("part.problem"), markProblem
		}
		text, beyond := w.placeText()
		say(health, text)
		if model := w.session.ChosenModel(); model != nil && len(w.session.Setup().Parts) == 0 {
			middle.show(reachRemedy(s, model.Mesh.Bounds()))
		}
		return w.partState(s, f, beyond)
	}
	return p
}

// chosenFigures returns the figures of the chosen part, nil until they are known.
func chosenFigures(w *Window) *session.PartFacts {
	f, i := w.session.Facts(), w.session.Part()
	if f == nil || i >= len(f.Parts) {
		return nil
	}
	return f.Parts[i]
}

// tinyPart reports whether the chosen part is so small that its unit is in doubt.
func tinyPart(w *Window) bool {
	p := chosenFigures(w)
	return p != nil && tiny(p)
}

// placeText describes the chosen part and says what is wrong with where it or another
// one stands, or may be. beyond tells that something is.
func (w *Window) placeText() (text string, beyond bool) {
	s, f := w.session.Setup(), w.session.Facts()
	if p := chosenFigures(w); p != nil {
		text = partText(p)
	}
	if f.Setup != s {
		return text, false
	}
	for _, r := range s.PlaceRemarks(f.Model.Parts()) {
		beyond = beyond || !r.May
		text += "\n"
		if len(s.Parts) > 0 && !r.May {
			text += s.Parts[r.Part].Name + ": "
		}
		text += i18n.Sentence(r.Text)
	}
	if f.Overlap != nil {
		text += "\n" + fieldErrorText(f.Overlap)
	}
	return text, beyond
}

// partState is the row of operation 10 once the parts are read.
func (w *Window) partState(s *job.Setup, f *session.Facts, beyond bool) (string, mark) {
	name, figures := filepath.Base(s.Part.File), f.Part
	if len(f.Parts) > 1 {
		name = i18n.N("parts.state", len(f.Parts))
	}
	switch {
	case !figures.Closed:
		return i18n.N("part.state.open", figures.Triangles, "file", name), markProblem
	case f.Overlap != nil:
		return i18n.T("parts.state.overlap", "file", name), markProblem
	case beyond:
		return i18n.T("part.state.reach", "file", name), markNeeds
	case s.Part.Unit == "mm" && tinyPart(w):
		return i18n.T("part.state.tiny", "file", name), markNeeds
	}
	return i18n.N("part.state", figures.Triangles, "file", name), markDone
}

// turnPart turns the part about an axis. About z axes and cuts turn with it;
// about x and y it lies on another face, and they have no place there.
func (w *Window) turnPart(s *job.Setup, axis int, degrees float64) {
	if axis != 2 {
		s.Part.Turn[axis] = degrees
		return
	}
	s.TurnPart(w.standing(), degrees-s.Part.Turn[2])
	s.Part.Turn[2] = degrees
}

// missingPart returns the index of the first part whose file isn't there; -1: none.
func missingPart(s *job.Setup) int {
	return slices.IndexFunc(s.Single(), func(one *job.Setup) bool {
		_, err := os.Stat(one.PartPath())
		return err != nil
	})
}

// askReplace asks for another file of the chosen part, or of one whose file isn't
// there; machine, zones and numbers stay.
func (w *Window) askReplace() {
	missing, title := missingPart(w.session.Setup()), "part.replace"
	if missing >= 0 {
		title = "part.find"
	}
	w.session.ChoosePart(missing)
	w.askFile(i18n.T(title), partEndings[:3], w.replacePart)
}

func (w *Window) replacePart(path string) {
	w.do("step.part", func(s *job.Setup) { s.Part.File = path })
}
