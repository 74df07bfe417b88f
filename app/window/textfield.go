package window

import (
	"conewright/app/focus"

	"fyne.io/fyne/v2"
)

// textField is an entry for a name in the setup. It shows what it is told and calls
// commit on Return and when the focus leaves. What is refused stays written, in a
// frame of the colour of faults, until it is mended or Escape takes back the setup's.
type textField struct {
	focus.Entry
	value  string
	commit func(string) error
	tell   func(error) // why what is written is refused; nil: it isn't any more
}

func newTextField(commit func(string) error, tell func(error)) *textField {
	f := &textField{commit: commit, tell: tell}
	f.As = f
	f.ExtendBaseWidget(f)
	f.OnSubmitted = func(string) { f.take() }
	return f
}

// show writes the setup's text, unless the user is writing another there.
func (f *textField) show(text string) {
	if text == f.value {
		return
	}
	f.value = text
	f.restore()
}

// take commits what is written.
func (f *textField) take() {
	var err error
	if f.Text != f.value {
		err = f.commit(f.Text)
	}
	f.Wrong(err != nil)
	f.tell(err)
}

// restore shows the setup's text again.
func (f *textField) restore() {
	f.SetText(f.value)
	f.Wrong(false)
	f.tell(nil)
}

// FocusLost commits what is written.
func (f *textField) FocusLost() {
	f.Entry.FocusLost()
	f.take()
}

// TypedKey takes the setup's text back on Escape.
func (f *textField) TypedKey(e *fyne.KeyEvent) {
	if e.Name == fyne.KeyEscape {
		f.restore()
		return
	}
	f.Entry.TypedKey(e)
}
