package window

import (
	"path/filepath"

	"conewright/app/focus"
	"conewright/assets"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// newWelcome is what an empty sheet says.
func newWelcome(w *Window) fyne.CanvasObject {
	title := widget.NewLabel(i18n.T("welcome.title"))
	title.SizeName = theme.SizeNameHeadingText
	title.Alignment = fyne.TextAlignCenter
	text := widget.NewLabel(i18n.T("welcome.what") + "\n\n" + i18n.T("welcome.text"))
	text.Alignment = fyne.TextAlignCenter
	text.Importance = widget.LowImportance
	open := focus.NewButton(i18n.T("part.open"), w.askOpen)
	open.Importance = widget.HighImportance
	buttons := container.NewHBox(open)
	if w.settingsDir != "" {
		buttons.Add(focus.NewButton(i18n.T("welcome.demo"), w.openDemo))
		buttons.Add(focus.NewButton(i18n.T("menu.lessons"), w.course.begin))
	}
	tell := focus.NewButton(i18n.T("describe.open"), func() { w.guide.begin() })
	w.first = w.newMachineChoice()
	w.firstFacts = widget.NewLabel("")
	w.firstFacts.Alignment, w.firstFacts.Importance = fyne.TextAlignCenter, widget.LowImportance
	w.firstAsk = widget.NewLabel("")
	w.firstAsk.Alignment, w.firstAsk.Wrapping = fyne.TextAlignCenter, fyne.TextWrapWord
	w.firstTake = focus.NewButton(i18n.T("welcome.take"), func() { w.chooseMachine(w.nextMachine()) })
	mine := container.NewHBox(caption(i18n.T("welcome.machine")), w.first, w.firstTake, focus.NewButton(i18n.T("card.load"), func() { w.card.askLoad() }))
	return container.NewCenter(container.NewVBox(title, text, container.NewCenter(buttons), container.NewCenter(mine), container.NewCenter(tell), w.firstFacts, w.firstAsk))
}

// showFirst tells on the empty sheet which machine the next part is for, and asks for
// it as long as nobody has chosen one.
func (w *Window) showFirst() {
	w.showMachine(w.first)
	text := ""
	if card := w.mine.card(w.nextMachine()); card != nil {
		text = machineText(card)
	}
	if w.firstFacts.Text != text {
		w.firstFacts.SetText(text)
	}
	ask := ""
	if w.settings.Machine == "" {
		ask = i18n.T("welcome.ask", "name", w.nextMachine())
	}
	if w.firstAsk.Text != ask {
		w.firstAsk.SetText(ask)
	}
	enable(w.firstTake, ask != "")
}

// openDemo opens the demo job, unpacked beside the settings.
func (w *Window) openDemo() {
	job, err := assets.Unpack(filepath.Join(w.settingsDir, "demo"), assets.DemoJob)
	if err != nil {
		w.complain(err)
		return
	}
	w.Open(job)
}

// stageText names a stage of a run; one that the catalogue doesn't know keeps
// its own name.
func stageText(stage string) string {
	if stage == "" {
		return i18n.T("stage.part")
	}
	return i18n.T("stage." + stage)
}
