package window

import (
	"math"

	"conewright/app/focus"
	"conewright/geom/calibrate"
	"conewright/geom/job"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
	"gonum.org/v1/gonum/spatial/r2"
)

// measured are the readings of the tip's place, kept while the window lasts.
type measured struct {
	rows    [][3]float64 // swivel word, x, y; NaN: not read yet
	forward bool         // the tip stands toward the lean from the swivel axis
}

// firstMeasured asks for a quarter turn at a time. Most heads lean back over
// their swivel axis, so that the tip stands away from the lean (common practice,
// no source).
func firstMeasured() measured {
	m := measured{}
	for _, word := range []float64{0, 90, 180, 270} {
		m.rows = append(m.rows, [3]float64{word, math.NaN(), math.NaN()})
	}
	return m
}

// mostReadings is how many rows the table grows to.
const mostReadings = 24

// readings returns the rows that are complete.
func (m *measured) readings() []calibrate.Reading {
	var list []calibrate.Reading
	for _, r := range m.rows {
		if s := r[0] + r[1] + r[2]; !math.IsNaN(s) {
			list = append(list, calibrate.Reading{Word: r[0], Tip: r2.Vec{X: r[1], Y: r[2]}})
		}
	}
	return list
}

// calibration is the page that turns readings of the tip's place into the
// card's tip offset, zero and sense.
type calibration struct {
	w             *Window
	title         *widget.Label
	table         *fyne.Container
	entries       [][3]*focus.Entry
	add, remove   *focus.Button
	forward       *focus.Check
	result, doubt *widget.Label
	take, cross   *focus.Button
	fit           *calibrate.Result // nil: the readings tell too little
}

func newCalibration(w *Window) *paper {
	c := &calibration{w: w, title: widget.NewLabel(""), table: container.NewGridWithColumns(3), result: widget.NewLabel(""), doubt: remark()}
	c.result.Wrapping = fyne.TextWrapWord
	c.doubt.Importance = widget.DangerImportance
	c.add = focus.NewButton(i18n.T("calibrate.add"), func() {
		c.w.measured.rows = append(c.w.measured.rows, [3]float64{math.NaN(), math.NaN(), math.NaN()})
		c.show()
	})
	c.remove = focus.NewButton(i18n.T("calibrate.remove"), func() {
		c.w.measured.rows = c.w.measured.rows[:len(c.w.measured.rows)-1]
		c.show()
	})
	c.forward = focus.NewCheck(i18n.T("calibrate.forward"), func(on bool) {
		if on != c.w.measured.forward {
			c.w.measured.forward = on
			c.show()
		}
	})
	c.take = focus.NewButton(i18n.T("calibrate.take"), c.takeOver)
	c.take.Importance = widget.HighImportance
	c.cross = focus.NewButton(i18n.T("calibrate.cross"), c.askCross)
	how, side, caution, crosses := remark(), remark(), remark(), remark()
	say(how, i18n.T("calibrate.how"))
	say(side, i18n.T("calibrate.side"))
	say(caution, i18n.T("calibrate.caution"))
	say(crosses, i18n.T("calibrate.crosses"))
	left := container.NewVScroll(container.NewVBox(how, c.table, container.NewHBox(c.add, c.remove), c.forward, side))
	right := container.NewVScroll(container.NewVBox(heading(i18n.T("calibrate.result")), c.result, c.doubt, c.take,
		heading(i18n.T("calibrate.proof")), crosses, c.cross))
	body := container.NewBorder(w.paperHead(c.title), caution, nil, nil, container.New(&halves{}, left, right))
	w.calibration = c
	return &paper{key: "calibrate", page: "machine", view: body, show: c.show}
}

// heading is a bold line.
func heading(text string) *widget.Label {
	l := widget.NewLabel(text)
	l.TextStyle.Bold = true
	return l
}

// show draws the readings, and what they tell about the setup's card.
func (c *calibration) show() {
	m := &c.w.measured
	card := c.w.session.Setup().Machine.Card
	c.title.SetText(i18n.T("calibrate.title", "name", card.Name))
	c.fill()
	c.forward.SetChecked(m.forward)
	enable(c.add, len(m.rows) < mostReadings)
	enable(c.remove, len(m.rows) > calibrate.MinReadings)
	enable(c.cross, card.Swivel != nil)
	c.tell()
}

// fill makes a row a reading, unless they are there.
func (c *calibration) fill() {
	m := &c.w.measured
	if len(c.entries) == len(m.rows) {
		return
	}
	c.entries = nil
	c.table.Objects = []fyne.CanvasObject{caption(i18n.T("calibrate.word")), caption(i18n.T("calibrate.x")), caption(i18n.T("calibrate.y"))}
	for i, row := range m.rows {
		var entries [3]*focus.Entry
		for k, v := range row {
			entries[k] = focus.NewEntry()
			if !math.IsNaN(v) {
				entries[k].SetText(rowsText([][]float64{{v}}))
			}
			entries[k].OnChanged = func(text string) {
				v, err := parseNumber(text)
				if err != nil {
					v = math.NaN()
				}
				m.rows[i][k] = v
				c.tell()
			}
			c.table.Add(entries[k])
		}
		c.entries = append(c.entries, entries)
	}
	c.table.Refresh()
}

// tell fits the readings and says what they tell.
func (c *calibration) tell() {
	m, swivel := &c.w.measured, c.w.session.Setup().Machine.Card.Swivel
	c.fit = nil
	defer func() { enable(c.take, c.fit != nil) }()
	say(c.doubt, "")
	if swivel == nil {
		c.result.SetText(i18n.T("machine.noswivel"))
		return
	}
	list := m.readings()
	if len(list) < calibrate.MinReadings {
		c.result.SetText(i18n.T("calibrate.few", "n", i18n.Integer(len(list)), "least", i18n.Integer(calibrate.MinReadings)))
		return
	}
	fit, err := calibrate.Fit(list, swivel.Zero, m.forward)
	if err != nil {
		c.result.SetText(i18n.T("calibrate.spread"))
		return
	}
	c.result.SetText(fitText(&fit))
	switch {
	case math.Abs(fit.Offset.V) < surely*fit.Offset.U || math.Abs(fit.Offset.V) < leastOffset:
		say(c.doubt, i18n.T("calibrate.onaxis"))
		return // zero and sense mean nothing then
	case fit.Other < surely*fit.Residual:
		say(c.doubt, i18n.T("calibrate.nosense"))
		return
	}
	c.fit = &fit
}

// surely is how many times its uncertainty a figure must be to be believed
// (common practice, no source); leastOffset, mm, is less than anyone reads off.
const (
	surely      = 3
	leastOffset = 0.02
)

func fitText(f *calibrate.Result) string {
	return i18n.T("calibrate.offset", "v", i18n.Number(f.Offset.V, 3), "u", i18n.Number(f.Offset.U, 3)) + "\n" +
		i18n.T("calibrate.zero", "v", i18n.Number(f.Zero.V, 2), "u", i18n.Number(f.Zero.U, 2)) + "\n" +
		i18n.T("calibrate.sense", "sense", senseText(senseKey(f.Sense))) + "\n" +
		i18n.T("calibrate.axis", "x", i18n.Number(f.Axis.X, 2), "y", i18n.Number(f.Axis.Y, 2)) + "\n" +
		i18n.T("calibrate.residual", "r", i18n.Number(f.Residual, 3), "other", i18n.Number(f.Other, 3))
}

// takeOver puts what was found into the setup's card, if that checks.
func (c *calibration) takeOver() {
	next := copyCard(c.w.session.Setup().Machine.Card)
	if c.fit == nil || next.Swivel == nil {
		return
	}
	s := next.Swivel
	s.Sense, s.Zero = c.fit.Sense, rounded(c.fit.Zero.V)
	s.TipOffset = [3]float64{rounded(c.fit.Offset.V), 0, s.TipOffset[2]}
	if err := next.Check(); err != nil {
		c.w.complain(err)
		return
	}
	c.w.do("step.calibrate", func(s *job.Setup) { s.Machine = job.Machine{Card: next} })
}

// rounded drops digits that no reading holds.
func rounded(v float64) float64 { return math.Round(v*1e4) / 1e4 }

// askCross asks where to write the test crosses, after the cautions.
func (c *calibration) askCross() {
	c.w.afterCautions(func() { c.w.askSave(i18n.T("calibrate.cross"), "crosses.gcode", c.writeCross) })
}
