package window

import (
	"math"

	"conewright/app/look"
	"conewright/app/pictures"
	"conewright/app/session"
	"conewright/app/sheet"
	"conewright/i18n"
	"conewright/render/drawing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// beside shows on the overlay pane how the part grows in level layers, and beside it
// in the plan: two sheets in step, with head and beads. What hangs is marked as it
// comes.
type beside struct {
	w      *Window
	halves [2]half // level layers, the plan
	state  *widget.Label
	player *player
	view   *choice         // which view both sheets show
	growth *session.Growth // what is shown
}

// half is one of the two prints.
type half struct {
	sheet   *sheet.Sheet
	figures *widget.Label
	printed *pictures.Printed
}

// choicesWidth is that of what stands before the slider, in the toolkit's units.
const choicesWidth = 460

// halfLeast is the least size of each of the two sheets, in the toolkit's units.
var halfLeast = fyne.NewSize(280, 240)

func newBeside(w *Window) *paper {
	b := &beside{w: w, state: remark(), player: newPlayer(w.post)}
	w.beside = b
	var columns []fyne.CanvasObject
	for i, title := range []string{i18n.T("growth.level"), i18n.T("growth.plan")} {
		h := &b.halves[i]
		h.sheet = sheet.New(sheet.Options{Post: w.post, Least: halfLeast})
		h.figures = widget.NewLabel("")
		h.figures.Wrapping = fyne.TextWrapWord
		name := widget.NewLabel(title)
		name.TextStyle.Bold = true
		columns = append(columns, container.NewBorder(name, h.figures, nil, nil, h.sheet))
	}
	b.view = newChoice([]string{"pictorial", "elevation"}, func(v string) string { return i18n.T("menu." + v) }, b.look)
	b.view.show("pictorial")
	b.look("pictorial")
	// In one row, so that the sheets get the height.
	choices := container.NewGridWithColumns(3, b.player.play, b.view, b.player.pace)
	b.player.view = container.NewBorder(nil, nil, container.New(&fixedWidth{choicesWidth}, choices), b.player.time,
		container.NewThemeOverride(b.player.slider, look.Track{}))
	b.player.view.Hide()
	foot := container.NewVBox(b.state, b.player.view)
	view := container.NewBorder(w.paperHead(widget.NewLabel(i18n.T("menu.beside"))), foot, nil, nil, container.NewGridWithColumns(2, columns...))
	return &paper{key: "beside", view: view, show: b.show, left: b.left}
}

// toggleBeside shows both prints, or the sheet again.
func (w *Window) toggleBeside() {
	switch {
	case w.pane.open != nil && w.pane.open.key == "beside":
		w.pane.lay("")
	case w.session.Setup() != nil:
		w.pane.lay("beside")
	}
}

// left ends what is worked out only to be looked at here.
func (b *beside) left() {
	b.player.halt()
	b.w.session.DropGrowth()
	b.take(nil)
}

func (b *beside) show() {
	g := b.w.session.Growth()
	switch {
	case g == nil:
		b.state.SetText(i18n.T("state.reading"))
	case g.Active:
		b.state.SetText(i18n.T("growth.working", "percent", i18n.Integer(int(100*g.Done))))
	case g.Err != nil:
		b.state.SetText(errorText(g.Err))
	default:
		b.state.SetText(i18n.T("growth.instep"))
		b.take(g)
		return
	}
	b.take(nil)
}

// take shows a growth that is worked out; nil: there is none.
func (b *beside) take(g *session.Growth) {
	if g == b.growth {
		return
	}
	b.growth = g
	if g == nil {
		b.player.load(film{})
		for i := range b.halves {
			b.halves[i].figures.SetText("")
		}
		return
	}
	for i, printed := range []*pictures.Printed{g.Level, g.Plan} {
		printed.Scene.Decimal = sheetTexts().Decimal
		b.halves[i].printed = printed
		b.halves[i].figures.SetText(printedText(printed))
	}
	// In step: both are at the same share of their own time.
	longest := math.Max(g.Level.Track.Seconds(), g.Plan.Track.Seconds())
	b.player.load(film{
		seconds: longest,
		at:      func(seconds float64) { b.at(seconds / math.Max(longest, 1e-9)) },
		leave:   func() {},
		busy:    func() bool { return b.halves[0].sheet.Busy() || b.halves[1].sheet.Busy() },
	})
	b.player.slider.SetValue(firstShare * longest)
}

// firstShare is the share of the growth that is shown first: it stands half grown, so
// that one sees what the slider is for.
const firstShare = 0.5

// look shows the same view on both sheets. Each is looked at from below, where what
// hangs is seen, and can be turned.
func (b *beside) look(view string) {
	only := drawing.Pictorial
	if view == "elevation" {
		only = drawing.Elevation
	}
	for i := range b.halves {
		b.halves[i].sheet.ShowOnly(only)
		b.halves[i].sheet.Look(besideAzimuth, besideElevation)
	}
}

// From where both are looked at, degrees.
const besideAzimuth, besideElevation = -60, -12

// at draws both prints at a share of their time.
func (b *beside) at(share float64) {
	if b.growth == nil {
		return
	}
	for i := range b.halves {
		h := &b.halves[i]
		seconds := max(share*h.printed.Track.Seconds(), h.printed.Track.Begins())
		in := h.printed.Input(seconds)
		in.Texts = sheetTexts()
		in.Options.NoFrame = true
		h.sheet.Moment(h.printed.Track.At(seconds))
		h.sheet.Draw(in, true)
	}
}

// printedText says how much of a print hangs, and what it takes.
func printedText(p *pictures.Printed) string {
	m := p.Scene.Log.Motion
	return hangsText(&p.Scene) + "\n" +
		i18n.T("growth.hanging", "length", i18n.Number(m.Hanging, 0)) + "\n" +
		i18n.T("motion.estimate.earlier", "time", duration(m.Seconds), "filament", i18n.Number(m.Filament/1000, 2), "mass", i18n.Number(m.Mass, 1))
}
