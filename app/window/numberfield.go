package window

import (
	"math"
	"strconv"
	"strings"

	"conewright/app/reach"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"
)

// numberField is an entry for one number of the setup. It shows what it is told
// and calls commit on Return and when the focus leaves; arrows up and down
// change the number by step, with Shift by ten steps. A number that is refused
// goes back to what it was.
type numberField struct {
	widget.Entry
	ring     reach.Ring
	decimals int
	step     float64
	shift    bool
	value    float64
	commit   func(float64) error
	refused  func(error)
}

var _ desktop.Keyable = (*numberField)(nil)

func newNumberField(decimals int, step float64, commit func(float64) error, refused func(error)) *numberField {
	f := &numberField{decimals: decimals, step: step, commit: commit, refused: refused, value: math.NaN()}
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
	f.SetText(i18n.Number(v, f.decimals))
}

// take commits what is written.
func (f *numberField) take() {
	v, err := parseNumber(f.Text)
	if err == nil && i18n.Number(v, f.decimals) == i18n.Number(f.value, f.decimals) {
		f.SetText(i18n.Number(f.value, f.decimals))
		return
	}
	if err == nil {
		err = f.commit(v)
	}
	if err != nil {
		f.SetText(i18n.Number(f.value, f.decimals))
		f.refused(err)
	}
}

// CreateRenderer is the toolkit's door.
func (f *numberField) CreateRenderer() fyne.WidgetRenderer {
	return f.ring.Around(f.Entry.CreateRenderer())
}

func (f *numberField) FocusGained() {
	f.Entry.FocusGained()
	f.ring.Show(true)
	reach.Reveal(f)
}

func (f *numberField) FocusLost() {
	f.Entry.FocusLost()
	f.ring.Show(false)
	f.shift = false
	f.take()
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
		f.SetText(i18n.Number(f.value, f.decimals))
		return
	default:
		f.Entry.TypedKey(e)
		return
	}
	if f.shift {
		by *= 10
	}
	if err := f.commit(f.value + by); err != nil {
		f.refused(err)
	}
}

type numberError struct{ text string }

func (e numberError) Error() string { return i18n.T("error.number", "text", e.text) }

// parseNumber takes a decimal point or comma, and leaves a unit or the degree
// sign away.
func parseNumber(text string) (float64, error) {
	s := strings.NewReplacer("°", "", "mm", "", "%", "", " ", "", "\u00a0", "", "\u202f", "", "−", "-").Replace(text)
	if strings.Count(s, ",") == 1 && !strings.Contains(s, ".") {
		s = strings.Replace(s, ",", ".", 1)
	}
	v, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, numberError{text}
	}
	return v, nil
}
