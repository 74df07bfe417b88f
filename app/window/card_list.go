package window

import (
	"strconv"
	"strings"

	"conewright/app/focus"
	"conewright/geom/machine"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"
)

// listField is an entry of several lines. It commits when the focus leaves.
type listField struct {
	widget.Entry
	ring   focus.Ring
	shown  string
	commit func(string)
}

func newListField(rows int, commit func(string)) *listField {
	f := &listField{commit: commit}
	f.MultiLine = true
	f.ExtendBaseWidget(f)
	f.SetMinRowsVisible(rows)
	f.TextStyle.Monospace = true
	return f
}

// AcceptsTab lets Tab go on to the next field, as everywhere: by keys alone one
// would never come out again.
func (f *listField) AcceptsTab() bool { return false }

// CreateRenderer is the toolkit's door.
func (f *listField) CreateRenderer() fyne.WidgetRenderer {
	return f.ring.Around(f.Entry.CreateRenderer())
}

func (f *listField) FocusGained() {
	f.Entry.FocusGained()
	f.ring.Show(true)
	focus.Reveal(f)
}

func (f *listField) FocusLost() {
	f.Entry.FocusLost()
	f.ring.Show(false)
	f.take()
}

// take commits what is written, if that is new.
func (f *listField) take() {
	if f.Text != f.shown {
		f.shown = f.Text
		f.commit(f.Text)
	}
}

// show writes a text, unless it stands there.
func (f *listField) show(text string) {
	if text != f.shown {
		f.shown = text
		f.SetText(text)
	}
}

// mostLines bounds how many lines of a list are read; the card's own check asks
// for far fewer.
const mostLines = 1000

// rowError is a line of a list that doesn't hold what it should.
type rowError struct{ line, want int }

func (e rowError) Error() string {
	return i18n.T("error.row", "line", i18n.Integer(e.line), "want", i18n.Integer(e.want))
}

// parseRows reads lines of so many numbers; empty lines are left out.
func parseRows(text string, want int) ([][]float64, error) {
	var rows [][]float64
	for i, line := range strings.Split(text, "\n") {
		words := strings.Fields(strings.NewReplacer(";", " ", "\t", " ").Replace(line))
		if len(words) == 0 {
			continue
		}
		if len(words) != want || i >= mostLines {
			return nil, rowError{i + 1, want}
		}
		row := make([]float64, want)
		for k, word := range words {
			v, err := parseNumber(word)
			if err != nil {
				return nil, err
			}
			row[k] = v
		}
		rows = append(rows, row)
	}
	return rows, nil
}

// rowsText writes lines of numbers, with the language's decimal sign.
func rowsText(rows [][]float64) string {
	lines := make([]string, len(rows))
	for i, row := range rows {
		words := make([]string, len(row))
		for k, v := range row {
			words[k] = strings.Replace(strconv.FormatFloat(v, 'f', -1, 64), ".", decimalSign(), 1)
		}
		lines[i] = strings.Join(words, "  ")
	}
	return strings.Join(lines, "\n")
}

func profileRows(profile [][2]float64) [][]float64 {
	rows := make([][]float64, len(profile))
	for i, p := range profile {
		rows[i] = []float64{p[0], p[1]}
	}
	return rows
}

func rowsProfile(rows [][]float64) [][2]float64 {
	profile := make([][2]float64, len(rows))
	for i, r := range rows {
		profile[i] = [2]float64{r[0], r[1]}
	}
	return profile
}

func boxRows(boxes []machine.Box) [][]float64 {
	rows := make([][]float64, len(boxes))
	for i, b := range boxes {
		rows[i] = append(append([]float64(nil), b.Min[:]...), b.Max[:]...)
	}
	return rows
}

func rowsBoxes(rows [][]float64) []machine.Box {
	boxes := make([]machine.Box, len(rows))
	for i, r := range rows {
		boxes[i] = machine.Box{Min: [3]float64(r[:3]), Max: [3]float64(r[3:])}
	}
	return boxes
}

// keepOn takes over from the boxes before which of them turn with the bed: rows don't
// hold that.
func keepOn(boxes, before []machine.Box) []machine.Box {
	for i := range boxes {
		b := &boxes[i]
		if len(boxes) == len(before) {
			b.On = before[i].On
			continue
		}
		for _, old := range before {
			if old.Min == b.Min && old.Max == b.Max {
				b.On = old.On
			}
		}
	}
	return boxes
}
