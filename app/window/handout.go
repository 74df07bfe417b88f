package window

import (
	"conewright/app/lessons"
	"conewright/i18n"
)

// askHandout asks where to save the present sheet as PDF; in a lesson with the
// lesson's text under it.
func (w *Window) askHandout() {
	f := w.session.Facts()
	if f == nil || f.Model == nil {
		return
	}
	w.askSave(i18n.T("handout.title"), w.nameFor(".pdf"), func(path string) error {
		data, err := w.handout()
		if err != nil {
			return err
		}
		return writeWhole(path, data)
	})
}

// handout returns the present sheet as PDF.
func (w *Window) handout() ([]byte, error) {
	in, _ := w.scene()
	in = w.sheet.OnPaper(in)
	h := lessons.Handout{Input: in}
	if w.course.on {
		l := w.course.panel.Lesson()
		h.Title = i18n.T("lesson." + l.Key + ".title")
		h.Text = []string{i18n.T("lesson." + l.Key + ".came"), i18n.T("lesson.exercise") + ": " + i18n.T("lesson."+l.Key+".task")}
	}
	return h.PDF()
}
