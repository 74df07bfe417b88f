package window

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"conewright/geom/message"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/dialog"
	"fyne.io/fyne/v2/lang"
	"fyne.io/fyne/v2/storage"
	"fyne.io/fyne/v2/widget"
	"github.com/natefinch/atomic"
)

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
	d.SetFilter(endingFilter(endings))
	w.ask(d, w.filesDir(), title, i18n.T("open"))
}

// askSave asks where to write a file and gives it the name's ending where the
// user left that away.
func (w *Window) askSave(title, name string, write func(path string) error) {
	w.askSaveIn(w.filesDir(), title, name, write)
}

// askSaveIn is askSave that begins in a folder.
func (w *Window) askSaveIn(dir, title, name string, write func(path string) error) {
	if w.asking {
		return
	}
	d := dialog.NewFileSave(func(f fyne.URIWriteCloser, err error) {
		if err == nil && f != nil {
			_ = f.Close() // written whole, by a rename, not into this
			err = writeChosen(f.URI().Path(), filepath.Ext(name), write)
		}
		if err != nil {
			w.complain(err)
		}
	}, w.win)
	d.SetFileName(name)
	w.ask(d, dir, title, i18n.T("save"))
}

// writeChosen writes what was chosen in a dialog. That has made an empty file
// there, which must not stay where nothing was written.
func writeChosen(chosen, ending string, write func(path string) error) error {
	path := chosen
	if !strings.EqualFold(filepath.Ext(chosen), ending) {
		path += ending
		if _, err := os.Stat(path); err == nil { // the dialog asked about another name
			removeEmpty(chosen)
			return takenError{filepath.Base(path)}
		}
	}
	err := write(path)
	if err != nil || path != chosen {
		removeEmpty(chosen)
	}
	return err
}

func removeEmpty(path string) {
	if info, err := os.Stat(path); err == nil && info.Size() == 0 {
		_ = os.Remove(path)
	}
}

// takenError is a file that would be overwritten unasked.
type takenError struct{ file string }

func (e takenError) Error() string { return i18n.T("error.taken", "file", e.file) }

// writeWhole writes a file, whole or not at all.
func writeWhole(path string, data []byte) error {
	if err := atomic.WriteFile(path, bytes.NewReader(data)); err != nil {
		return message.Errorf("%s: %w", filepath.Base(path), err)
	}
	return nil
}

// filesDir is where the present or the last file lies. The demo parts lie among
// the settings, where nobody finds again what is saved there.
func (w *Window) filesDir() string {
	files := w.settings.Recent
	if s := w.session.Setup(); s != nil {
		files = append([]string{s.PartPath()}, files...)
	}
	for _, f := range files {
		if abs, err := filepath.Abs(f); err == nil && (w.settingsDir == "" || !strings.HasPrefix(abs, w.settingsDir+string(filepath.Separator))) {
			return filepath.Dir(abs)
		}
	}
	home, err := os.UserHomeDir()
	if err != nil {
		return "."
	}
	return home
}

// ask shows a file dialog in a folder.
func (w *Window) ask(d *dialog.FileDialog, in, title, confirm string) {
	d.SetTitleText(title)
	d.SetConfirmText(confirm)
	d.SetDismissText(i18n.T("cancel"))
	if dir, err := storage.ListerForURI(storage.NewFileURI(in)); err == nil {
		d.SetLocation(dir)
	}
	w.showDialog(d, fyne.NewSize(820, 560))
	top := w.win.Canvas().Overlays().Top()
	open := findButton(top, confirm)
	w.listenToKeys(d, func(e *fyne.KeyEvent) {
		if asked := w.win.Canvas().Overlays().Top(); asked != top {
			w.answerOverwrite(asked, e)
			return
		}
		switch e.Name {
		case fyne.KeyEscape:
			d.Dismiss()
		case fyne.KeyReturn, fyne.KeyEnter:
			if open != nil && !open.Disabled() {
				open.OnTapped()
			}
		}
	})
	if place := findEntry(top); place != nil {
		confirmed := open.OnTapped
		open.OnTapped = func() {
			confirmed()
			if asked := w.win.Canvas().Overlays().Top(); asked != nil && asked != top && w.asking {
				translateOverwrite(asked, place.Content.(*fileName).Text)
				w.win.Canvas().Unfocus() // its keys are listened to
			}
		}
		name := newFileName(place.Content.(*widget.Entry), d.Dismiss)
		place.Content = name
		place.Refresh()
		w.win.Canvas().Focus(name)
	}
}

// translateOverwrite puts the toolkit's question whether to overwrite a file into the
// language of the window: its words can't be given otherwise.
func translateOverwrite(question fyne.CanvasObject, file string) {
	for _, l := range labelsIn(question) {
		switch {
		case l.Text == "Overwrite?":
			l.SetText(i18n.T("overwrite.title"))
		case strings.HasPrefix(l.Text, "Are you sure"):
			l.SetText(i18n.T("overwrite.text", "file", file))
		case l.Text == "Cannot overwrite":
			l.SetText(i18n.T("error.title"))
		case strings.HasPrefix(l.Text, "Files cannot replace"):
			l.SetText(i18n.T("overwrite.folder", "file", file))
		}
	}
}

// answerOverwrite answers that question by keys: Escape says no.
func (w *Window) answerOverwrite(question fyne.CanvasObject, e *fyne.KeyEvent) {
	wanted := ""
	switch e.Name {
	case fyne.KeyEscape:
		wanted = "No"
	case fyne.KeyReturn, fyne.KeyEnter:
		wanted = "Yes"
	}
	for _, key := range []string{wanted, "OK"} { // that it can't is only told
		if b := findButton(question, lang.L(key)); wanted != "" && b != nil {
			b.OnTapped()
			return
		}
	}
}

// labelsIn lists the labels in an object.
func labelsIn(o fyne.CanvasObject) (found []*widget.Label) {
	switch o := o.(type) {
	case *widget.Label:
		return []*widget.Label{o}
	case *widget.PopUp:
		return labelsIn(o.Content)
	case *fyne.Container:
		for _, inner := range o.Objects {
			found = append(found, labelsIn(inner)...)
		}
	}
	return found
}

// fileName stands in the place of a save dialog's own entry, which does nothing on
// Escape: what is written goes to that one.
type fileName struct {
	nameEntry
	own *widget.Entry
}

func newFileName(own *widget.Entry, escape func()) *fileName {
	n := &fileName{own: own}
	n.ExtendBaseWidget(n)
	n.escape = escape
	n.SetText(own.Text)
	n.OnChanged = func(text string) {
		if own.Text != text {
			own.SetText(text)
		}
	}
	n.OnSubmitted = func(text string) {
		if own.OnSubmitted != nil {
			own.OnSubmitted(text)
		}
	}
	changed := own.OnChanged
	own.OnChanged = func(text string) { // a file was chosen in the list, say
		if changed != nil {
			changed(text)
		}
		if n.Text != text {
			n.SetText(text)
		}
	}
	return n
}

// findEntry returns the scroll that holds an entry of the toolkit's; nil: none does.
func findEntry(o fyne.CanvasObject) *container.Scroll {
	switch o := o.(type) {
	case *widget.PopUp:
		return findEntry(o.Content)
	case *container.Scroll:
		if _, ok := o.Content.(*widget.Entry); ok {
			return o
		}
	case *fyne.Container:
		for _, inner := range o.Objects {
			if found := findEntry(inner); found != nil {
				return found
			}
		}
	}
	return nil
}

// listenToKeys lets a dialog hear keys while nothing in it has the focus, as after a
// click on a file or beside the dialog: the toolkit does nothing then.
func (w *Window) listenToKeys(d dialog.Dialog, pressed func(*fyne.KeyEvent)) {
	canvas := w.win.Canvas()
	before := canvas.OnTypedKey()
	canvas.SetOnTypedKey(pressed)
	d.SetOnClosed(func() {
		w.asking = false
		canvas.SetOnTypedKey(before)
	})
}

// findButton returns the button of a text in an object; nil: there is none.
func findButton(o fyne.CanvasObject, text string) *widget.Button {
	var inner []fyne.CanvasObject
	switch o := o.(type) {
	case *widget.Button:
		if o.Text == text {
			return o
		}
	case *widget.PopUp:
		inner = []fyne.CanvasObject{o.Content}
	case *fyne.Container:
		inner = o.Objects
	}
	for _, i := range inner {
		if b := findButton(i, text); b != nil {
			return b
		}
	}
	return nil
}

// endingFilter shows files of the endings.
type endingFilter []string

func (f endingFilter) Matches(u fyne.URI) bool {
	return slices.Contains(f, strings.ToLower(u.Extension()))
}

// nameFor is the name of a file that is made of what is open, with an ending.
func (w *Window) nameFor(ending string) string { return w.session.Name() + ending }
