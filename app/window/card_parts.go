package window

import (
	"math"
	"strings"

	"conewright/app/focus"
	"conewright/geom/machine"
	"conewright/i18n"
)

// number is a field for a number; get returns nil where the card has none.
func (e *cardEditor) number(decimals int, step float64, get func(*machine.Card) *float64) cardPart {
	f := newNumberField(decimals, step, func(v float64) error {
		e.change(func(c *machine.Card) {
			if p := get(c); p != nil {
				*p = v
			}
		})
		return nil
	}, func(err error) {
		if get(e.draft) != nil {
			e.tell(err)
		}
	})
	return cardPart{f, func(c *machine.Card) {
		p := get(c)
		if p == nil {
			f.value = math.NaN()
			f.SetText("")
			f.Disable()
			return
		}
		f.Enable()
		f.show(*p)
	}}
}

// whole is a field for a whole number.
func (e *cardEditor) whole(get func(*machine.Card) *int) cardPart {
	f := newNumberField(0, 1, func(v float64) error {
		e.change(func(c *machine.Card) { *get(c) = int(math.Round(min(max(v, -1e6), 1e6))) })
		return nil
	}, e.tell)
	return cardPart{f, func(c *machine.Card) { f.show(float64(*get(c))) }}
}

// text is a field for a line of words.
func (e *cardEditor) text(get func(*machine.Card) *string) cardPart {
	f := newListField(1, func(text string) {
		e.change(func(c *machine.Card) { *get(c) = strings.TrimSpace(text) })
	})
	f.MultiLine = false
	f.TextStyle.Monospace = false
	f.OnSubmitted = func(string) { f.take() }
	return cardPart{f, func(c *machine.Card) { f.show(*get(c)) }}
}

// lines is a field for several lines of words.
func (e *cardEditor) lines(get func(*machine.Card) *string) cardPart {
	f := newListField(5, func(text string) {
		e.change(func(c *machine.Card) { *get(c) = text })
	})
	return cardPart{f, func(c *machine.Card) { f.show(*get(c)) }}
}

// list is a field for lines of so many numbers. Lines that can't be read stay as
// they are written, and the card keeps what it had.
func (e *cardEditor) list(entry string, width, visible int, get func(*machine.Card) [][]float64, set func(*machine.Card, [][]float64)) cardPart {
	f := newListField(visible, func(text string) {
		rows, err := parseRows(text, width)
		if e.broken[entry] = err; err != nil {
			e.show()
			return
		}
		e.change(func(c *machine.Card) { set(c, rows) })
	})
	return cardPart{f, func(c *machine.Card) {
		if e.broken[entry] == nil {
			f.show(rowsText(get(c)))
		}
	}}
}

// choose is a drop-down; one for the swivel is off where there is none.
func (e *cardEditor) choose(values []string, text func(string) string, get func(*machine.Card) string, set func(*machine.Card, string)) cardPart {
	f := newChoice(values, text, func(v string) { e.change(func(c *machine.Card) { set(c, v) }) })
	return cardPart{f, func(c *machine.Card) {
		v := get(c)
		enable(f, v != "")
		f.show(v)
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
func (e *cardEditor) tick(text string, get func(*machine.Card) (on, can bool), set func(*machine.Card, bool)) cardPart {
	showing := false
	f := focus.NewCheck(text, func(on bool) {
		if !showing {
			e.change(func(c *machine.Card) { set(c, on) })
		}
	})
	return cardPart{f, func(c *machine.Card) {
		on, can := get(c)
		showing = true
		f.SetChecked(on)
		showing = false
		enable(f, can)
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
