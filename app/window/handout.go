package window

import (
	"bytes"
	"path/filepath"
	"strings"

	"conewright/app/lessons"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/dialog"
	"github.com/natefinch/atomic"
)

// askHandout asks where to save the present sheet as PDF; in a lesson with the
// lesson's text under it.
func (w *Window) askHandout() {
	f := w.session.Facts()
	if f == nil || f.Model == nil || w.asking {
		return
	}
	d := dialog.NewFileSave(func(file fyne.URIWriteCloser, err error) {
		if err != nil {
			w.complain(err)
			return
		}
		if file == nil {
			return
		}
		path := file.URI().Path()
		_ = file.Close() // written whole, by a rename
		data, err := w.handout()
		if err == nil {
			err = atomic.WriteFile(path, bytes.NewReader(data))
		}
		if err != nil {
			w.complain(err)
		}
	}, w.win)
	d.SetTitleText(i18n.T("handout.title"))
	d.SetFileName(strings.TrimSuffix(w.session.Name(), filepath.Ext(w.session.Name())) + ".pdf")
	d.SetConfirmText(i18n.T("save"))
	d.SetDismissText(i18n.T("cancel"))
	w.startIn(d)
	w.showDialog(d, fyne.NewSize(820, 560))
}

// handout returns the present sheet as PDF.
func (w *Window) handout() ([]byte, error) {
	in, _ := w.scene()
	in = w.sheet.OnPaper(in)
	h := lessons.Handout{Input: in}
	if w.course.on {
		l := w.course.panel.Lesson()
		h.Title = i18n.T("lesson." + l.Key + ".title")
		h.Text = []string{i18n.T("lesson." + l.Key + ".text"), i18n.T("lesson." + l.Key + ".try")}
	}
	return h.PDF()
}
