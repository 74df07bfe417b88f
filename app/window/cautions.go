package window

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"slices"

	"conewright/app/focus"
	"conewright/geom/machine"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// cardHash tells machine cards apart by all that they hold: a changed card is
// another machine, whose cautions are read again.
func cardHash(c *machine.Card) string {
	data, err := json.Marshal(c)
	if err != nil {
		return "" // plain data always marshals; "" is never agreed to
	}
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// askRun runs, after the cautions.
func (w *Window) askRun() {
	s := w.session.Setup()
	if s == nil || w.session.Run().Active {
		return
	}
	if f := w.session.Facts(); f != nil && f.Model != nil && f.Setup == s && f.Model.Changed(s) {
		w.session.ReadAgain()
		text := widget.NewLabel(i18n.T("part.changed"))
		text.Wrapping = fyne.TextWrapWord
		w.showNote(i18n.T("part.changedtitle"), text, fyne.NewSize(460, 180), answer{key: "close"})
		return
	}
	w.afterCautions(w.startRun)
}

// afterCautions goes on to what writes a motion file: at once, or after the
// cautions, which are shown once a machine card until ticked.
func (w *Window) afterCautions(then func()) { w.afterCautionsOf(w.session.Setup().Machine.Card, then) }

// afterCautionsOf is afterCautions for a card that may not be the setup's.
func (w *Window) afterCautionsOf(card *machine.Card, then func()) {
	if w.asking {
		return
	}
	hash := cardHash(card)
	if slices.Contains(w.settings.Agreed, hash) {
		then()
		return
	}
	w.showCautions(card.Name, func() {
		w.remember(w.settings.WithAgreed(hash))
		then()
	})
}

func (w *Window) startRun() {
	w.pane.lay("") // the sheet shows what is made
	w.session.Start(w.motion.options())
	w.route.show(w.route.find("motion"))
}

// showCautions asks to read the cautions; agreed is called only when the box is
// ticked and the button pressed.
func (w *Window) showCautions(card string, agreed func()) {
	text := widget.NewLabel(i18n.T("cautions.text"))
	text.Wrapping = fyne.TextWrapWord
	var buttons []*focus.Button
	tick := focus.NewCheck(i18n.T("cautions.tick", "card", card), func(on bool) { enable(buttons[1], on) })
	buttons = w.showNote(i18n.T("cautions.title"), container.NewVBox(text, tick), fyne.NewSize(560, 360),
		answer{key: "cancel"}, answer{key: "cautions.go", do: agreed, main: true})
	buttons[1].Disable()
	tick.Escape = buttons[0].OnTapped
	w.win.Canvas().Focus(tick)
}
