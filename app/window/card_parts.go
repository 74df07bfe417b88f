package window

import (
	"math"
	"strings"

	"conewright/app/focus"
	"conewright/geom/machine"
	"conewright/i18n"
)

// cardFields makes fields that edit a draft of a machine card.
type cardFields struct {
	draft  *machine.Card
	broken map[string]error            // lists that can't be read, by entry
	change func(f func(*machine.Card)) // changes the draft
	redraw func()                      // shows the draft
	tell   func(error)                 // why a number isn't one; nil: it is
}

// number is a field for a number; get returns nil where the card has none.
func (f *cardFields) number(decimals int, step float64, get func(*machine.Card) *float64) cardPart {
	field := newNumberField(decimals, step, func(v float64) error {
		f.change(func(c *machine.Card) {
			if p := get(c); p != nil {
				*p = v
			}
		})
		return nil
	}, func(err error) {
		if get(f.draft) != nil {
			f.tell(err)
		}
	})
	return cardPart{field, func(c *machine.Card) {
		p := get(c)
		if p == nil {
			field.value = math.NaN()
			field.SetText("")
			field.Disable()
			return
		}
		field.Enable()
		field.show(*p)
	}}
}

// whole is a field for a whole number.
func (f *cardFields) whole(get func(*machine.Card) *int) cardPart {
	field := newNumberField(0, 1, func(v float64) error {
		f.change(func(c *machine.Card) { *get(c) = int(math.Round(min(max(v, -1e6), 1e6))) })
		return nil
	}, f.tell)
	return cardPart{field, func(c *machine.Card) { field.show(float64(*get(c))) }}
}

// text is a field for a line of words.
func (f *cardFields) text(get func(*machine.Card) *string) cardPart {
	field := newListField(1, func(text string) {
		f.change(func(c *machine.Card) { *get(c) = strings.TrimSpace(text) })
	})
	field.MultiLine = false
	field.TextStyle.Monospace = false
	field.OnSubmitted = func(string) { field.take() }
	return cardPart{field, func(c *machine.Card) { field.show(*get(c)) }}
}

// lines is a field for several lines of words.
func (f *cardFields) lines(get func(*machine.Card) *string) cardPart {
	field := newListField(5, func(text string) {
		f.change(func(c *machine.Card) { *get(c) = text })
	})
	return cardPart{field, func(c *machine.Card) { field.show(*get(c)) }}
}

// list is a field for lines of so many numbers. Lines that can't be read stay as
// they are written, and the card keeps what it had.
func (f *cardFields) list(entry string, width, visible int, get func(*machine.Card) [][]float64, set func(*machine.Card, [][]float64)) cardPart {
	field := newListField(visible, func(text string) {
		rows, err := parseRows(text, width)
		if f.broken[entry] = err; err != nil {
			f.redraw()
			return
		}
		f.change(func(c *machine.Card) { set(c, rows) })
	})
	return cardPart{field, func(c *machine.Card) {
		if f.broken[entry] == nil {
			field.show(rowsText(get(c)))
		}
	}}
}

// choose is a drop-down; one for the swivel is off where there is none.
func (f *cardFields) choose(values []string, text func(string) string, get func(*machine.Card) string, set func(*machine.Card, string)) cardPart {
	field := newChoice(values, text, func(v string) { f.change(func(c *machine.Card) { set(c, v) }) })
	return cardPart{field, func(c *machine.Card) {
		v := get(c)
		enable(field, v != "")
		field.show(v)
	}}
}

// Ways to name files for the machine, as the editor's choice has them.
const (
	plainNames = "plain"
	shortNames = "short"
)

// fileNames is a drop-down for how the files for this machine are named. It is kept in
// the settings, by the card's name: a card has no place for it.
func (e *cardEditor) fileNames() cardPart {
	f := newChoice([]string{plainNames, shortNames}, func(v string) string { return i18n.T("card.names." + v) }, func(v string) {
		e.w.remember(e.w.settings.WithShortNames(e.draft.Name, v == shortNames))
	})
	return cardPart{f, func(c *machine.Card) {
		f.show(plainNames)
		if e.w.settings.ShortNames(c.Name) {
			f.show(shortNames)
		}
	}}
}

// tick is a box to tick; get tells whether it is ticked, and whether it can be.
func (f *cardFields) tick(text string, get func(*machine.Card) (on, can bool), set func(*machine.Card, bool)) cardPart {
	showing := false
	field := focus.NewCheck(text, func(on bool) {
		if !showing {
			f.change(func(c *machine.Card) { set(c, on) })
		}
	})
	return cardPart{field, func(c *machine.Card) {
		on, can := get(c)
		showing = true
		field.SetChecked(on)
		showing = false
		enable(field, can)
	}}
}

// swivelOf returns the card's swivel, or one without a letter and sense.
func swivelOf(c *machine.Card) *machine.Swivel {
	if c.Swivel == nil {
		return &machine.Swivel{}
	}
	return c.Swivel
}

// setSwivel puts a swivel on a card or takes it off; what was taken off comes
// back.
func (e *cardEditor) setSwivel(c *machine.Card, on bool) {
	switch {
	case !on:
		e.swivel, c.Swivel = c.Swivel, nil
	case e.swivel != nil:
		c.Swivel, e.swivel = e.swivel, nil
	default:
		c.Swivel = &machine.Swivel{Letter: "C", Sense: 1, MaxSpeed: 360, MaxAccel: 3000}
	}
}

// setEndless takes the limits off a swivel, or puts a turn each way.
func setEndless(c *machine.Card, on bool) {
	if c.Swivel == nil {
		return
	}
	c.Swivel.Range = nil
	if !on {
		c.Swivel.Range = &[2]float64{c.Swivel.Zero - 360, c.Swivel.Zero + 360}
	}
}

func senseOf(key string) float64 {
	if key == "-1" {
		return -1
	}
	return 1
}

func senseKey(sense float64) string {
	switch sense {
	case 1:
		return "1"
	case -1:
		return "-1"
	}
	return ""
}

// senseText says which way the swivel turns, seen from above, as its word grows.
func senseText(key string) string {
	if key == "-1" {
		return i18n.T("card.clockwise")
	}
	return i18n.T("card.counter")
}
