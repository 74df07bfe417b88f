package window

import "fyne.io/fyne/v2/widget"

// choice is a drop-down over values whose shown texts are translated. Showing a
// value doesn't count as choosing it.
type choice struct {
	widget.Select
	values  []string
	showing bool
}

func newChoice(values []string, text func(string) string, chosen func(string)) *choice {
	c := &choice{}
	c.ExtendBaseWidget(c)
	c.OnChanged = func(string) {
		if i := c.SelectedIndex(); !c.showing && i >= 0 {
			chosen(c.values[i])
		}
	}
	c.offer(values, text)
	return c
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
