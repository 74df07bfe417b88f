package window

import (
	"conewright/app/reach"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/widget"
)

// showDialog shows a dialog of a size, and keeps shortcuts from working behind it.
func (w *Window) showDialog(d dialog.Dialog, size fyne.Size) {
	w.asking = true
	d.SetOnClosed(func() { w.asking = false })
	d.Show()
	have := w.win.Canvas().Size()
	d.Resize(fyne.NewSize(min(size.Width, have.Width-40), min(size.Height, have.Height-40)))
}

// complain shows an error: what, where, how to mend it.
func (w *Window) complain(err error) {
	text := widget.NewLabel(errorText(err))
	text.Wrapping = fyne.TextWrapWord
	d := dialog.NewCustom(i18n.T("error.title"), i18n.T("close"), text, w.win)
	w.showDialog(d, fyne.NewSize(520, 220))
}

var partEndings = []string{".stl", ".3mf", ".obj", ".json"}

// askOpen asks for a part or a job.
func (w *Window) askOpen() {
	w.ifSaved(func() { w.askFile(i18n.T("open.title"), partEndings, w.Open) })
}

// save writes the job where it came from, or asks where.
func (w *Window) save(then func()) {
	if w.session.Setup() == nil {
		return
	}
	if w.session.Path() == "" {
		w.saveAs(then)
		return
	}
	if err := w.saveTo(w.session.Path(), then); err != nil {
		w.complain(err)
	}
}

func (w *Window) saveTo(path string, then func()) error {
	if err := w.session.Save(path); err != nil {
		return err
	}
	w.remember(w.settings.WithRecent(path))
	if then != nil {
		then()
	}
	return nil
}

// saveAs asks where to write the job.
func (w *Window) saveAs(then func()) {
	if w.session.Setup() == nil {
		return
	}
	w.askSave(i18n.T("save.title"), w.nameFor(".json"), func(path string) error {
		return w.saveTo(path, then)
	})
}

// ifSaved goes on at once, or after the question about unsaved changes.
func (w *Window) ifSaved(then func()) {
	w.course.end()
	if !w.session.Unsaved() {
		then()
		return
	}
	if w.asking {
		return
	}
	text := widget.NewLabel(i18n.T("unsaved.text", "name", w.session.Name()))
	text.Wrapping = fyne.TextWrapWord
	d := dialog.NewCustomWithoutButtons(i18n.T("unsaved.title"), text, w.win)
	answer := func(key string, f func()) *reach.Button {
		return reach.NewButton(i18n.T(key), func() {
			d.Hide()
			if f != nil {
				f()
			}
		})
	}
	keep := answer("save", func() { w.save(then) })
	keep.Importance = widget.HighImportance
	d.SetButtons([]fyne.CanvasObject{answer("cancel", nil), answer("unsaved.drop", then), keep})
	w.showDialog(d, fyne.NewSize(460, 180))
}
