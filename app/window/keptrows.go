package window

import (
	"slices"

	"conewright/app/focus"
	"conewright/geom/job"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// kept is what the settings keep under own names: filaments, or presets. A job holds
// the values; the names lie in the settings.
type kept struct {
	ask    string // says what is kept, where its name is asked for
	names  func() []string
	of     func(*job.Setup) string         // the name of what a job holds; "": none has its values
	own    func(name string) bool          // it is the user's, and can be removed
	choose func(name string)               // takes its values into the setup
	keep   func(s *job.Setup, name string) // keeps the setup's values
	drop   func(name string)               // removes it; the setup stays
}

// keptRows choose, keep and remove what is kept under names.
type keptRows struct {
	w            *Window
	of           kept
	choice       *choice
	keep, remove *focus.Button
	buttons      *fyne.Container
}

func newKeptRows(w *Window, of kept) *keptRows {
	r := &keptRows{w: w, of: of}
	r.choice = newChoice(of.names(), sameText, func(name string) {
		of.choose(name)
		w.refresh()
	})
	r.choice.PlaceHolder = i18n.T("kept.other")
	r.keep = focus.NewButton(i18n.T("kept.keep"), r.askName)
	r.remove = focus.NewButton(i18n.T("kept.remove"), func() {
		if s := w.session.Setup(); s != nil {
			of.drop(of.of(s))
			w.refresh()
		}
	})
	r.buttons = container.NewGridWithColumns(2, r.keep, r.remove)
	return r
}

func sameText(s string) string { return s }

func (r *keptRows) show(s *job.Setup) {
	if names := r.of.names(); !slices.Equal(names, r.choice.values) {
		r.choice.offer(names, sameText)
	}
	name := r.of.of(s)
	r.choice.show(name)
	enable(r.remove, r.of.own(name))
}

// askName asks for the name under which the setup's values are kept.
func (r *keptRows) askName() {
	s := r.w.session.Setup()
	if s == nil || r.w.asking {
		return
	}
	name := newNameEntry(r.of.of(s))
	text := widget.NewLabel(r.of.ask)
	text.Wrapping = fyne.TextWrapWord
	keep := func() {
		r.of.keep(s, name.Text)
		r.w.refresh()
	}
	buttons := r.w.showNote(i18n.T("kept.keep"), container.NewVBox(text, name), fyne.NewSize(420, 200),
		answer{key: "cancel"}, answer{key: "save", do: keep, main: true})
	name.escape = buttons[0].OnTapped
	name.OnSubmitted = func(string) { buttons[1].OnTapped() }
	r.w.win.Canvas().Focus(name)
}

// nameEntry is an entry for a name in a dialog.
type nameEntry struct {
	widget.Entry
	escape func()
}

func newNameEntry(text string) *nameEntry {
	e := &nameEntry{}
	e.ExtendBaseWidget(e)
	e.SetText(text)
	return e
}

// TypedKey closes the dialog on Escape.
func (e *nameEntry) TypedKey(k *fyne.KeyEvent) {
	if k.Name == fyne.KeyEscape && e.escape != nil {
		e.escape()
		return
	}
	e.Entry.TypedKey(k)
}
