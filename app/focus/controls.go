package focus

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"
)

// Button is the toolkit's, seen and framed when it has the focus.
type Button struct {
	widget.Button
	Escape func() // what Escape does while the button has the focus; nil: nothing
	ring   Ring
}

// NewButton returns a button.
func NewButton(text string, tapped func()) *Button {
	return NewButtonWithIcon(text, nil, tapped)
}

// NewButtonWithIcon returns a button with a picture before its text.
func NewButtonWithIcon(text string, icon fyne.Resource, tapped func()) *Button {
	b := &Button{}
	b.Text, b.Icon, b.OnTapped = text, icon, tapped
	b.ExtendBaseWidget(b)
	return b
}

// CreateRenderer is the toolkit's door.
func (b *Button) CreateRenderer() fyne.WidgetRenderer {
	b.ExtendBaseWidget(b)
	return b.ring.Around(b.Button.CreateRenderer())
}

// TypedKey presses the button on Return too; the toolkit knows Space only.
func (b *Button) TypedKey(e *fyne.KeyEvent) {
	switch e.Name {
	case fyne.KeyReturn, fyne.KeyEnter:
		b.Tapped(nil)
	case fyne.KeyEscape:
		if b.Escape != nil {
			b.Escape()
		}
	default:
		b.Button.TypedKey(e)
		if windowKey(e.Name) {
			PassOn(b, e)
		}
	}
}

// TypedRune leaves letters to the window.
func (b *Button) TypedRune(r rune) { PassOnRune(b, r) }

// FocusGained frames the button and scrolls to it.
func (b *Button) FocusGained() {
	b.Button.FocusGained()
	b.ring.Show(true)
	Reveal(b)
}

// FocusLost takes the frame away.
func (b *Button) FocusLost() {
	b.Button.FocusLost()
	b.ring.Show(false)
}

// Check is the toolkit's box to tick, seen and framed when it has the focus.
type Check struct {
	widget.Check
	Escape func() // what Escape does while the box has the focus; nil: nothing
	ring   Ring
}

// NewCheck returns a box to tick.
func NewCheck(text string, changed func(bool)) *Check {
	c := &Check{}
	c.Text, c.OnChanged = text, changed
	c.ExtendBaseWidget(c)
	return c
}

// CreateRenderer is the toolkit's door.
func (c *Check) CreateRenderer() fyne.WidgetRenderer {
	c.ExtendBaseWidget(c)
	return c.ring.Around(c.Check.CreateRenderer())
}

// TypedKey ticks the box on Return too; the toolkit knows Space only.
func (c *Check) TypedKey(e *fyne.KeyEvent) {
	switch {
	case (e.Name == fyne.KeyReturn || e.Name == fyne.KeyEnter) && !c.Disabled():
		c.SetChecked(!c.Checked)
	case e.Name == fyne.KeyEscape && c.Escape != nil:
		c.Escape()
	default:
		c.Check.TypedKey(e)
		if windowKey(e.Name) {
			PassOn(c, e)
		}
	}
}

// FocusGained frames the box and scrolls to it.
func (c *Check) FocusGained() {
	c.Check.FocusGained()
	c.ring.Show(true)
	Reveal(c)
}

// FocusLost takes the frame away.
func (c *Check) FocusLost() {
	c.Check.FocusLost()
	c.ring.Show(false)
}

// Entry is the toolkit's, seen and framed when it has the focus.
type Entry struct {
	widget.Entry
	As   fyne.Widget // what embeds the entry; nil: nothing does
	ring Ring
}

// NewEntry returns an empty entry.
func NewEntry() *Entry {
	e := &Entry{}
	e.ExtendBaseWidget(e)
	return e
}

// Wrong frames the entry in the colour of faults while what it holds can't be used.
func (e *Entry) Wrong(wrong bool) { e.ring.Wrong(wrong) }

// TypedKey writes, and leaves the window's keys to it.
func (e *Entry) TypedKey(key *fyne.KeyEvent) {
	if windowKey(key.Name) && !e.MultiLine {
		PassOn(e, key)
		return
	}
	e.Entry.TypedKey(key)
}

// CreateRenderer is the toolkit's door.
func (e *Entry) CreateRenderer() fyne.WidgetRenderer {
	return e.ring.AroundEntry(e.Entry.CreateRenderer(), e.shown())
}

// shown returns the widget that lies in the window: the entry itself, or what
// embeds it.
func (e *Entry) shown() fyne.CanvasObject {
	if e.As != nil {
		return e.As
	}
	return e
}

// FocusGained frames the entry and scrolls to it.
func (e *Entry) FocusGained() {
	e.Entry.FocusGained()
	e.ring.Show(true)
	Reveal(e.shown())
}

// FocusLost takes the frame away.
func (e *Entry) FocusLost() {
	e.Entry.FocusLost()
	e.ring.Show(false)
}
