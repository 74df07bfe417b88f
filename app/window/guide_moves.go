package window

import (
	"math"
	"time"

	"conewright/app/focus"
	"conewright/geom/describe"
	"conewright/geom/machine"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// mover moves the drawn machine axis by axis, as its words would: up and back, then
// down and back.
type mover struct {
	g      *guide
	move   describe.Move
	told   *widget.Label
	other  *focus.Button
	began  time.Time
	timer  *time.Timer // nil: nothing moves
	round  int         // counts timers
	chosen bool
}

// How an axis is tried: how long one move up or down takes, and how far it goes, mm
// or degrees.
const (
	moveTime = 2 * time.Second
	moveStep = 40
)

func newMover(g *guide) *mover { return &mover{g: g} }

// build adds a button an axis, and what should be seen.
func (m *mover) build(g *guide) {
	var buttons []fyne.CanvasObject
	for _, axis := range describe.Moves(g.draft) {
		b := focus.NewButton(axis.Letter+"+", func() { m.begin(axis) })
		g.parts = append(g.parts, cardPart{b, func(*machine.Card) {}})
		buttons = append(buttons, b)
	}
	m.told = widget.NewLabel("")
	m.told.Wrapping = fyne.TextWrapWord
	m.other = focus.NewButton(i18n.T("describe.other"), m.turnRound)
	m.chosen = false
	g.box.Add(container.NewGridWithColumns(len(buttons), buttons...))
	g.box.Add(m.told)
	g.box.Add(m.other)
	m.show()
}

// show says what should be seen of the axis that was chosen.
func (m *mover) show() {
	if m.told == nil {
		return
	}
	if !m.chosen || m.g.at != "check" {
		m.told.SetText(" ")
		m.other.Disable()
		return
	}
	m.told.SetText(i18n.T("describe.grows", "letter", m.move.Letter) + " " + seenText(m.g.draft, m.move))
	enable(m.other, m.move.Turn >= 0)
}

// begin moves an axis.
func (m *mover) begin(axis describe.Move) {
	m.stop()
	m.move, m.chosen, m.began = axis, true, time.Now()
	m.show()
	m.next()
}

// turnRound gives the axis the other sense, and shows it.
func (m *mover) turnRound() {
	m.g.changeCard(func(c *machine.Card) {
		s := describe.Axes(c)[m.move.Turn].Sense
		*s = -*s
	})
	m.begin(m.move)
}

func (m *mover) stop() {
	if m.timer != nil {
		m.timer.Stop()
		m.timer = nil
		m.round++
	}
	m.g.picture.rest()
}

func (m *mover) next() {
	m.round++
	round := m.round
	m.timer = time.AfterFunc(playEvery, func() { m.g.w.post(func() { m.tick(round) }) })
}

func (m *mover) tick(round int) {
	if round != m.round || m.timer == nil {
		return
	}
	if m.g.w.pane.open == nil || m.g.w.pane.open.key != "describe" {
		m.stop() // the drawing is gone
		return
	}
	done := float64(time.Since(m.began)) / float64(moveTime)
	if done >= 2 {
		m.stop()
		return
	}
	m.g.picture.moved(m.move, m.offset(done))
	m.next()
}

// offset returns how far the axis stands from its place after so many moves, 0 to 2:
// the first goes up and back, the second down and back.
func (m *mover) offset(done float64) float64 {
	step := describe.Step(m.g.draft, m.move, moveStep, done < 1)
	return step * (1 - math.Cos(2*math.Pi*done)) / 2
}
