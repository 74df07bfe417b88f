package window

import (
	"os"
	"path/filepath"

	"conewright/app/focus"
	"conewright/geom/job"
	"conewright/geom/mesh"
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
	p := &page{number: "10", key: "part", body: container.NewVBox(file, open, other, form, lay, health, inches, middle.button)}
	p.show = func() (string, mark) {
		s := w.session.Setup()
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
		visible(lay, len(s.Parts) == 0)
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
		visible(inches, f != nil && f.Part != nil && s.Part.Unit == "mm" && tiny(f.Part))
		middle.show(nil)
		if f == nil {
			say(health, "")
			return i18n.T("state.reading"), markNone
		}
		if f.Part == nil {
			say(health, errorText(f.Err))
			if _, err := os.Stat(s.PartPath()); err != nil {
				other.SetText(i18n.T("part.find"))
			}
			return i18n.T("part.problem"), markProblem
		}
		name := filepath.Base(s.Part.File)
		text, beyond := partText(f.Part), ""
		if f.Model != nil && f.Setup == s {
			for _, t := range beyondTravel(s, f.Model.Mesh.Bounds()) {
				beyond += "\n" + i18n.Sentence(t)
			}
			middle.show(reachRemedy(s, f.Model.Mesh.Bounds()))
		}
		say(health, text+beyond)
		if !f.Part.Closed {
			return i18n.N("part.state.open", f.Part.Triangles, "file", name), markProblem
		}
		if beyond != "" {
			return i18n.T("part.state.reach", "file", name), markNeeds
		}
		if s.Part.Unit == "mm" && tiny(f.Part) {
			return i18n.T("part.state.tiny", "file", name), markNeeds
		}
		return i18n.N("part.state", f.Part.Triangles, "file", name), markDone
	}
	return p
}

// turnPart turns the part about an axis. About z axes and cuts turn with it;
// about x and y it lies on another face, and they have no place there.
func (w *Window) turnPart(s *job.Setup, axis int, degrees float64) {
	if axis != 2 {
		s.Part.Turn[axis] = degrees
		return
	}
	var stands *mesh.Mesh
	if f := w.session.Facts(); f != nil && f.Model != nil && f.Setup == w.session.Setup() {
		stands = f.Model.Mesh
	}
	s.TurnPart(stands, degrees-s.Part.Turn[2])
	s.Part.Turn[2] = degrees
}

// askReplace asks for another file of the part; machine, zones and numbers stay.
func (w *Window) askReplace() {
	w.askFile(i18n.T("part.replace"), partEndings[:3], w.replacePart)
}

func (w *Window) replacePart(path string) {
	w.do("step.part", func(s *job.Setup) { s.Part.File = path })
}
