package focus

import "fyne.io/fyne/v2"

// PassOn gives a key that a control has no use for to its window's own handler,
// which the toolkit asks only where nothing has the focus.
func PassOn(o fyne.CanvasObject, e *fyne.KeyEvent) {
	if c := fyne.CurrentApp().Driver().CanvasForObject(o); c != nil && c.OnTypedKey() != nil {
		c.OnTypedKey()(e)
	}
}

// PassOnRune does the same with a letter.
func PassOnRune(o fyne.CanvasObject, r rune) {
	if c := fyne.CurrentApp().Driver().CanvasForObject(o); c != nil && c.OnTypedRune() != nil {
		c.OnTypedRune()(r)
	}
}

// windowKey reports whether a key is none that a control or an entry uses.
func windowKey(name fyne.KeyName) bool {
	switch name {
	case fyne.KeyF11, fyne.KeyF9, fyne.KeyPageUp, fyne.KeyPageDown:
		return true
	}
	return false
}
