package window

import (
	"path/filepath"
	"slices"
	"strings"

	"conewright/app/reach"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/storage"
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

// askFile asks for a file of one of the endings, in small or capital letters.
func (w *Window) askFile(title string, endings []string, then func(path string)) {
	if w.asking {
		return
	}
	d := dialog.NewFileOpen(func(r fyne.URIReadCloser, err error) {
		if err != nil {
			w.complain(err)
			return
		}
		if r == nil {
			return
		}
		path := r.URI().Path()
		_ = r.Close() // only its name is wanted
		then(path)
	}, w.win)
	d.SetTitleText(title)
	d.SetFilter(endingFilter(endings))
	d.SetConfirmText(i18n.T("open"))
	d.SetDismissText(i18n.T("cancel"))
	w.startIn(d)
	w.showDialog(d, fyne.NewSize(820, 560))
}

// endingFilter shows files of the endings.
type endingFilter []string

func (f endingFilter) Matches(u fyne.URI) bool {
	return slices.Contains(f, strings.ToLower(u.Extension()))
}

// startIn begins a file dialog where the present or last file lies.
func (w *Window) startIn(d *dialog.FileDialog) {
	path := ""
	if s := w.session.Setup(); s != nil {
		path = s.PartPath()
	} else if len(w.settings.Recent) > 0 {
		path = w.settings.Recent[0]
	}
	if path == "" {
		return
	}
	if dir, err := storage.ListerForURI(storage.NewFileURI(filepath.Dir(path))); err == nil {
		d.SetLocation(dir)
	}
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
	w.saveTo(w.session.Path(), then)
}

func (w *Window) saveTo(path string, then func()) {
	if err := w.session.Save(path); err != nil {
		w.complain(err)
		return
	}
	w.remember(w.settings.WithRecent(path))
	if then != nil {
		then()
	}
}

// saveAs asks where to write the job.
func (w *Window) saveAs(then func()) {
	if w.session.Setup() == nil || w.asking {
		return
	}
	d := dialog.NewFileSave(func(f fyne.URIWriteCloser, err error) {
		if err != nil {
			w.complain(err)
			return
		}
		if f == nil {
			return
		}
		path := f.URI().Path()
		_ = f.Close() // the job is written whole, by a rename, not into this
		if !strings.EqualFold(filepath.Ext(path), ".json") {
			path += ".json"
		}
		w.saveTo(path, then)
	}, w.win)
	d.SetTitleText(i18n.T("save.title"))
	d.SetFileName(w.session.Name() + ".json")
	d.SetConfirmText(i18n.T("save"))
	d.SetDismissText(i18n.T("cancel"))
	w.startIn(d)
	w.showDialog(d, fyne.NewSize(820, 560))
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
