package window

import (
	"conewright/app/focus"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"
)

// choice is a drop-down over values whose shown texts are translated. Showing a
// value doesn't count as choosing it.
type choice struct {
	widget.Select
	ring    focus.Ring
	values  []string
	showing bool
}

func newChoice(values []string, text func(string) string, chosen func(string)) *choice {
	c := &choice{}
	c.ExtendBaseWidget(c)
	c.PlaceHolder = "–" // the toolkit's own is English
	c.OnChanged = func(string) {
		if i := c.SelectedIndex(); !c.showing && i >= 0 {
			chosen(c.values[i])
		}
	}
	c.offer(values, text)
	return c
}

// CreateRenderer is the toolkit's door.
func (c *choice) CreateRenderer() fyne.WidgetRenderer {
	return c.ring.Around(c.Select.CreateRenderer())
}

// TypedKey opens the list on Return too; the toolkit knows Space only.
func (c *choice) TypedKey(e *fyne.KeyEvent) {
	if e.Name == fyne.KeyReturn || e.Name == fyne.KeyEnter {
		e = &fyne.KeyEvent{Name: fyne.KeySpace}
	}
	if fyne.CurrentApp().Driver().CanvasForObject(c) == nil {
		return // its page was turned while it had the focus: its list has nowhere to open, and the toolkit would fail
	}
	c.Select.TypedKey(e)
}

// FocusGained frames the choice and scrolls to it.
func (c *choice) FocusGained() {
	c.Select.FocusGained()
	c.ring.Show(true)
	focus.Reveal(c)
}

// FocusLost takes the frame away.
func (c *choice) FocusLost() {
	c.Select.FocusLost()
	c.ring.Show(false)
}

// offer replaces the values.
func (c *choice) offer(values []string, text func(string) string) {
	c.values = values
	options := make([]string, len(values))
	for i, v := range values {
		options[i] = text(v)
	}
	c.showing = true
	c.SetOptions(options)
	c.showing = false
}

// show selects a value; one that isn't offered clears the choice.
func (c *choice) show(value string) {
	c.showing = true
	defer func() { c.showing = false }()
	for i, v := range c.values {
		if v == value {
			if c.SelectedIndex() != i {
				c.SetSelectedIndex(i)
			}
			return
		}
	}
	if c.Selected != "" {
		c.ClearSelected()
	}
}
