package window

import (
	"math"
	"strconv"
	"strings"

	"conewright/app/focus"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"
)

// numberField is an entry for one number of the setup. It shows what it is told
// and calls commit on Return and when the focus leaves; arrows up and down
// change the number by step, with Shift by ten steps. What is refused stays
// written, in a frame of the colour of faults, until it is mended or Escape takes
// back the setup's number.
type numberField struct {
	widget.Entry
	ring     focus.Ring
	decimals int
	step     float64
	shift    bool
	value    float64
	commit   func(float64) error
	tell     func(error)   // why what is written is refused; nil: it isn't any more
	explain  func(on bool) // says what the number is while the pointer or the focus is on it; nil: its name does
	wrong    bool
}

var (
	_ desktop.Keyable   = (*numberField)(nil)
	_ desktop.Hoverable = (*numberField)(nil)
)

func newNumberField(decimals int, step float64, commit func(float64) error, tell func(error)) *numberField {
	f := &numberField{decimals: decimals, step: step, commit: commit, tell: tell, value: math.NaN()}
	f.ExtendBaseWidget(f)
	f.OnSubmitted = func(string) { f.take() }
	return f
}

// show writes the setup's number, unless the user is writing another there.
func (f *numberField) show(v float64) {
	if v == f.value {
		return
	}
	f.value = v
	f.restore()
}

// take commits what is written.
func (f *numberField) take() {
	v, err := parseNumber(f.Text)
	if err == nil && i18n.Number(v, f.decimals) == i18n.Number(f.value, f.decimals) {
		f.restore()
		return
	}
	if err == nil {
		err = f.commit(v)
	}
	f.mark(err)
}

// restore shows the setup's number again.
func (f *numberField) restore() {
	if !math.IsNaN(f.value) {
		f.SetText(i18n.Number(f.value, f.decimals))
	}
	f.mark(nil)
}

// mark says why what is written is refused, or that it isn't.
func (f *numberField) mark(err error) {
	if err == nil && !f.wrong {
		return
	}
	f.wrong = err != nil
	f.ring.Wrong(f.wrong)
	f.tell(err)
}

// CreateRenderer is the toolkit's door.
func (f *numberField) CreateRenderer() fyne.WidgetRenderer {
	return f.ring.AroundEntry(f.Entry.CreateRenderer(), f)
}

func (f *numberField) FocusGained() {
	f.Entry.FocusGained()
	f.ring.Show(true)
	focus.Reveal(f)
	f.explained(true)
}

func (f *numberField) FocusLost() {
	f.Entry.FocusLost()
	f.ring.Show(false)
	f.explained(false)
	f.shift = false
	f.take()
}

// MouseIn says what the number is.
func (f *numberField) MouseIn(*desktop.MouseEvent) { f.explained(true) }

// MouseMoved does nothing.
func (f *numberField) MouseMoved(*desktop.MouseEvent) {}

// MouseOut says it no more.
func (f *numberField) MouseOut() { f.explained(false) }

func (f *numberField) explained(on bool) {
	if f.explain != nil {
		f.explain(on)
	}
}

func (f *numberField) KeyDown(e *fyne.KeyEvent) {
	if e.Name == desktop.KeyShiftLeft || e.Name == desktop.KeyShiftRight {
		f.shift = true
	}
	f.Entry.KeyDown(e)
}

func (f *numberField) KeyUp(e *fyne.KeyEvent) {
	if e.Name == desktop.KeyShiftLeft || e.Name == desktop.KeyShiftRight {
		f.shift = false
	}
	f.Entry.KeyUp(e)
}

func (f *numberField) TypedKey(e *fyne.KeyEvent) {
	by := 0.0
	switch e.Name {
	case fyne.KeyUp:
		by = f.step
	case fyne.KeyDown:
		by = -f.step
	case fyne.KeyEscape:
		f.restore()
		return
	default:
		f.Entry.TypedKey(e)
		return
	}
	if f.shift {
		by *= 10
	}
	f.mark(f.commit(f.value + by))
}

type numberError struct{ text string }

func (e numberError) Error() string { return i18n.T("error.number", "text", e.text) }

// parseNumber reads a number as people write it, with a unit or degree sign
// after it. A comma or a point is the decimal sign. One that isn't the
// language's and has three digits after it may part thousands: it is refused, as
// are blanks within the number.
func parseNumber(text string) (float64, error) {
	s := strings.TrimSpace(text)
	for _, unit := range []string{"°", "mm", "%"} {
		if number, ok := strings.CutSuffix(s, unit); ok {
			s = strings.TrimSpace(number)
			break
		}
	}
	s = strings.Replace(s, "−", "-", 1)
	if at := strings.IndexAny(s, ",."); at >= 0 {
		whole := strings.TrimLeft(s[:at], "+-")
		if s[at:at+1] != decimalSign() && len(s)-at-1 == 3 && strings.Trim(whole, "0") != "" {
			return 0, numberError{text}
		}
		s = s[:at] + "." + s[at+1:]
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) || strings.ContainsAny(s, "_xXpP") {
		return 0, numberError{text}
	}
	return v, nil
}
