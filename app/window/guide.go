package window

import (
	"errors"
	"slices"

	"conewright/app/focus"
	"conewright/geom/calibrate"
	"conewright/geom/describe"
	"conewright/geom/job"
	"conewright/geom/machine"
	"conewright/geom/message"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/widget"
)

// guide asks a few questions about a machine, one a page, and makes a card of the
// answers: the draft is the card. A drawing of the machine follows.
type guide struct {
	cardFields
	w       *Window
	of      *machine.Card // what the draft was begun with
	at      string        // key of the question that is asked
	built   string        // question and kind that the rows were made for
	parts   []cardPart
	title   *widget.Label
	box     *fyne.Container
	scroll  *container.Scroll
	fault   *widget.Label
	back    *focus.Button
	next    *focus.Button
	picture *machinePicture
	head    *headPicture
	mover   *mover
}

// questions are the keys of all questions, in their order. One whose subject the
// machine lacks isn't asked.
var questions = []string{"turns", "axes", "sense", "tip", "far", "fast", "head", "check"}

func newGuide(w *Window) *paper {
	g := &guide{w: w, at: questions[0], title: widget.NewLabel(""), box: container.New(layout.NewCustomPaddedVBoxLayout(2)),
		fault: remark(), picture: newMachinePicture(), head: newHeadPicture()}
	g.cardFields = cardFields{broken: map[string]error{}, change: g.changeCard, redraw: g.show, tell: g.tellFault}
	g.mover = newMover(g)
	g.fault.Importance = widget.DangerImportance
	g.back = focus.NewButton(i18n.T("describe.before"), func() { g.step(-1) })
	g.next = focus.NewButton(i18n.T("describe.next"), func() { g.step(1) })
	g.next.Importance = widget.HighImportance
	caution := remark()
	say(caution, i18n.T("card.caution"))
	g.scroll = container.NewVScroll(container.New(layout.NewCustomPaddedLayout(0, 0, 0, 14), g.box))
	foot := container.NewVBox(g.fault, container.NewGridWithColumns(2, g.back, g.next))
	body := container.NewBorder(w.paperHead(g.title), caution, nil, nil, container.New(&halves{},
		container.NewBorder(nil, foot, nil, nil, g.scroll), container.NewStack(g.picture, g.head)))
	w.guide = g
	return &paper{key: "describe", page: "machine", view: body, show: g.show, alone: true}
}

// begin opens the guide on the present machine, unless another is being described.
func (g *guide) begin() {
	card := g.w.mine.card(g.w.nextMachine())
	if s := g.w.session.Setup(); s != nil {
		card = s.Machine.Card
	}
	if g.draft == nil || sameCard(g.draft, g.of) {
		if card == nil {
			card = describe.Begin(describe.Nothing)
		}
		g.take(card)
		g.at = questions[0]
	}
	g.w.pane.lay("describe")
	g.focusFirst()
}

// take makes a card the draft.
func (g *guide) take(card *machine.Card) {
	g.of, g.draft, g.built = copyCard(card), copyCard(card), ""
	g.broken = map[string]error{}
}

func sameCard(a, b *machine.Card) bool { return cardHash(a) == cardHash(b) }

// asked lists the questions that the draft's machine needs.
func (g *guide) asked() (list []string) {
	for _, q := range questions {
		if len(g.draft.Turning()) == 0 && (q == "sense" || (q == "axes" || q == "tip") && !g.draft.Endless()) {
			continue
		}
		list = append(list, q)
	}
	return list
}

// step goes on to the next question, or back.
func (g *guide) step(by int) {
	list := g.asked()
	i := slices.Index(list, g.at) + by
	if i < 0 || i >= len(list) {
		return
	}
	g.at = list[i]
	g.show()
	g.focusFirst()
}

// focusFirst gives the focus to the question's first field.
func (g *guide) focusFirst() {
	for _, p := range g.parts {
		if f, ok := p.object.(fyne.Focusable); ok {
			g.w.win.Canvas().Focus(f)
			return
		}
	}
}

// changeCard changes the draft.
func (g *guide) changeCard(f func(*machine.Card)) {
	f(g.draft)
	g.show()
}

func (g *guide) show() {
	if g.draft == nil {
		return
	}
	list := g.asked()
	i := slices.Index(list, g.at)
	if i < 0 {
		i, g.at = 0, list[0]
	}
	g.title.SetText(i18n.T("describe.title", "n", i18n.Integer(i+1), "of", i18n.Integer(len(list))))
	if key := g.at + g.shape(); g.built != key {
		g.built = key
		g.mover.stop()
		g.build()
	}
	for _, p := range g.parts {
		p.show(g.draft)
	}
	enable(g.back, i > 0)
	enable(g.next, i < len(list)-1)
	g.tellFault(nil)
	visible(g.head, g.at == "head")
	visible(g.picture, g.at != "head")
	if g.check() == nil {
		g.picture.show(copyCard(g.draft))
		g.mover.show()
	}
	g.head.show(copyCard(g.draft))
}

// shape tells cards apart whose questions have other rows.
func (g *guide) shape() (s string) {
	for _, a := range g.draft.Turning() {
		s += a.On + toText(describe.Upright(a.About)) + toText(a.About[0] != 0)
	}
	return s + toText(g.draft.Endless()) + toText(g.draft.Swivel != nil)
}

func toText(b bool) string { return map[bool]string{true: "y", false: "n"}[b] }

// check returns what is wrong with the draft.
func (g *guide) check() error {
	for _, entry := range []string{"head.profile", "head.boxes"} {
		if err := g.broken[entry]; err != nil {
			return &machine.CardError{Entry: entry, What: message.Of(err), Mend: message.Name(i18n.T("card.mendrow"))}
		}
	}
	return g.draft.Check()
}

// tellFault says why a number isn't one, or what is wrong with the card.
func (g *guide) tellFault(err error) {
	if err == nil {
		err = g.check()
	}
	var fault *machine.CardError
	switch {
	case err == nil:
		g.fault.SetText(" ")
	case errors.As(err, &fault):
		g.fault.SetText(i18n.T("card.fault", "entry", fault.Entry, "what", i18n.Sentence(fault.What), "mend", i18n.Sentence(fault.Mend)))
	default:
		g.fault.SetText(errorText(err))
	}
}

// askSave asks where to write the card; one that doesn't check isn't written.
func (g *guide) askSave() {
	if err := g.check(); err != nil {
		g.w.complain(err)
		return
	}
	g.w.askSave(i18n.T("card.save"), cardFileName(g.draft), func(path string) error {
		if err := g.w.writeCard(path, g.draft); err != nil {
			return err
		}
		g.of = copyCard(g.draft)
		g.w.chooseMachine(path)
		return nil
	})
}

// askAxisTest asks where to write the axis test of the draft, after the cautions; a
// card without safe room for it is told at once.
func (g *guide) askAxisTest() {
	if err := g.check(); err != nil {
		g.w.complain(err)
		return
	}
	data, err := calibrate.AxisTest(g.draft)
	if err != nil {
		g.w.complain(err)
		return
	}
	g.w.afterCautionsOf(g.draft, func() {
		g.w.askSave(i18n.T("describe.axistest"), "axis-test.gcode", func(path string) error { return writeWhole(path, data) })
	})
}

// edit takes the card into the setup and opens it in the card editor.
func (g *guide) edit() {
	if err := g.check(); err != nil {
		g.w.complain(err)
		return
	}
	next := copyCard(g.draft)
	g.of = copyCard(g.draft)
	g.w.do("step.card", func(s *job.Setup) { s.Machine = job.Machine{Card: next} })
	g.w.pane.lay("card")
}
