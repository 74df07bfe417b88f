package window

import (
	"conewright/app/focus"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/widget"
)

// showDialog shows a dialog of a size for texts of normal size, and keeps
// shortcuts from working behind it.
func (w *Window) showDialog(d dialog.Dialog, size fyne.Size) {
	w.asking = true
	d.SetOnClosed(func() { w.asking = false })
	d.Show()
	scale, _ := textSize(w.settings.TextSize)
	scale = max(scale, 1)
	have := w.win.Canvas().Size()
	d.Resize(fyne.NewSize(min(size.Width*scale, have.Width-40), min(size.Height*scale, have.Height-40)))
}

// answer is a button of a note: its text's key, and what it does after the note
// has gone. Do may be nil.
type answer struct {
	key  string
	do   func()
	main bool // it is what one came for: it gets the focus
}

// showNote shows something to read with its answers, the first of which Escape
// gives as well. It returns their buttons.
func (w *Window) showNote(title string, content fyne.CanvasObject, size fyne.Size, answers ...answer) []*focus.Button {
	d := dialog.NewCustomWithoutButtons(title, content, w.win)
	var buttons []*focus.Button
	var row []fyne.CanvasObject
	first := 0
	for i, a := range answers {
		b := focus.NewButton(i18n.T(a.key), func() {
			d.Hide()
			if a.do != nil {
				a.do()
			}
		})
		if a.main {
			b.Importance, first = widget.HighImportance, i
		}
		buttons, row = append(buttons, b), append(row, b)
	}
	for _, b := range buttons {
		b.Escape = buttons[0].OnTapped
	}
	d.SetButtons(row)
	w.showDialog(d, size)
	w.win.Canvas().Focus(buttons[first])
	w.listenToKeys(d, func(e *fyne.KeyEvent) {
		switch e.Name { // a click beside the note has taken the focus away
		case fyne.KeyEscape:
			buttons[0].OnTapped()
		case fyne.KeyReturn, fyne.KeyEnter, fyne.KeySpace:
			if len(buttons) == 1 {
				buttons[0].OnTapped()
				return
			}
			w.win.Canvas().Focus(buttons[first]) // which of several isn't guessed
		}
	})
	return buttons
}

// complain shows an error: what, where, how to mend it.
func (w *Window) complain(err error) {
	text := widget.NewLabel(errorText(err))
	text.Wrapping = fyne.TextWrapWord
	w.showNote(i18n.T("error.title"), text, fyne.NewSize(520, 220), answer{key: "close"})
}

var partEndings = []string{".stl", ".3mf", ".obj", ".json"}

// askOpen asks for a part or a job.
func (w *Window) askOpen() {
	w.askFile(i18n.T("open.title"), partEndings, w.openOrAdd)
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
	w.showNote(i18n.T("unsaved.title"), text, fyne.NewSize(460, 180), answer{key: "cancel"},
		answer{key: "unsaved.drop", do: then}, answer{key: "save", do: func() { w.save(then) }, main: true})
}
