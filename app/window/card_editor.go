package window

import (
	"encoding/json"
	"errors"
	"reflect"
	"strings"

	"conewright/app/focus"
	"conewright/geom/job"
	"conewright/geom/machine"
	"conewright/geom/message"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/widget"
)

// cardEditor edits the setup's machine card. A change that checks is taken into
// the setup at once and can be undone; one that doesn't stays in the draft, is
// marked, and the setup keeps the card that it had.
type cardEditor struct {
	cardFields
	w      *Window
	of     *machine.Card   // the setup's card that the draft was made from
	swivel *machine.Swivel // what was there before it was taken off

	rows    []*cardRow
	names   cardPart // how files for the machine are named
	title   *widget.Label
	fault   *widget.Label
	picture *headPicture
	scroll  *container.Scroll
}

// cardRow is a line of the form: one or more entries of the card.
type cardRow struct {
	entries []string // as the card's check names them
	label   *widget.Label
	text    string
	parts   []cardPart
}

// cardPart is a field and how it shows a card.
type cardPart struct {
	object fyne.CanvasObject
	show   func(*machine.Card)
}

func newCardEditor(w *Window) *paper {
	e := &cardEditor{w: w, cardFields: cardFields{broken: map[string]error{}}, title: widget.NewLabel(""), fault: remark(), picture: newHeadPicture()}
	e.cardFields.change, e.cardFields.redraw, e.cardFields.tell = e.change, e.show, e.tell
	e.names = e.fileNames()
	e.fault.Importance = widget.DangerImportance
	caution := remark()
	say(caution, i18n.T("card.caution"))
	head := w.paperHead(e.title, focus.NewButton(i18n.T("card.load"), e.askLoad), focus.NewButton(i18n.T("card.save"), e.askSave))
	e.scroll = container.NewVScroll(container.New(layout.NewCustomPaddedLayout(0, 0, 0, 14), e.form()))
	form := container.NewBorder(e.fault, nil, nil, nil, e.scroll)
	body := container.NewBorder(head, caution, nil, nil, container.New(&halves{}, form, e.picture))
	w.card = e
	return &paper{key: "card", page: "machine", view: body, show: e.show}
}

// show draws the setup's card, or the draft that isn't taken yet.
func (e *cardEditor) show() {
	if c := e.w.session.Setup().Machine.Card; e.of == nil || !reflect.DeepEqual(c, e.of) {
		e.of, e.draft = copyCard(c), copyCard(c)
		e.broken = map[string]error{}
	}
	for _, r := range e.rows {
		for _, p := range r.parts {
			p.show(e.draft)
		}
	}
	e.title.SetText(i18n.T("card.title", "name", e.draft.Name))
	e.mark()
	e.picture.show(copyCard(e.draft))
}

// change changes the draft, and the setup where the draft checks.
func (e *cardEditor) change(f func(*machine.Card)) {
	f(e.draft)
	if e.check() == nil && !reflect.DeepEqual(e.draft, e.of) {
		next := copyCard(e.draft)
		e.of = copyCard(next)
		e.w.do("step.card", func(s *job.Setup) { s.Machine = job.Machine{Card: next} })
		return // which has shown it
	}
	e.show()
	e.w.route.refresh() // the machine's row says that the card isn't finished
}

// check returns what is wrong with the draft, entry and all.
func (e *cardEditor) check() *machine.CardError {
	for _, entry := range []string{"head.profile", "head.boxes", "obstacles"} {
		if err := e.broken[entry]; err != nil {
			return &machine.CardError{Entry: entry, What: message.Of(err), Mend: message.Name(i18n.T("card.mendrow"))}
		}
	}
	var fault *machine.CardError
	if errors.As(e.draft.Check(), &fault) {
		return fault
	}
	return nil
}

// mark marks the entry that fails, and says why.
func (e *cardEditor) mark() {
	fault := e.check()
	named := ""
	for _, r := range e.rows {
		text, importance := r.text, widget.MediumImportance
		if fault != nil && named == "" && r.holds(fault.Entry) {
			named = r.text
			text, importance = "! "+r.text, widget.DangerImportance
		}
		if r.label.Text != text {
			r.label.Importance = importance
			r.label.SetText(text)
		}
	}
	if fault == nil {
		e.fault.SetText(" ") // its line is kept free: nothing jumps
		return
	}
	if named == "" {
		named = fault.Entry
	}
	e.fault.SetText(i18n.T("card.fault", "entry", strings.ReplaceAll(named, "\n", " "), "what", i18n.Sentence(fault.What), "mend", i18n.Sentence(fault.Mend)))
}

// tell says why a number isn't one, in the line of faults.
func (e *cardEditor) tell(err error) {
	if err == nil {
		e.mark()
		return
	}
	e.fault.SetText(errorText(err))
}

// unfinished reports whether the draft holds what can't be taken yet.
func (e *cardEditor) unfinished() bool {
	return e.draft != nil && e.w.session.Setup() != nil && reflect.DeepEqual(e.of, e.w.session.Setup().Machine.Card) && e.check() != nil
}

// holds reports whether the row is where an entry is edited.
func (r *cardRow) holds(entry string) bool {
	for _, own := range r.entries {
		if rest, ok := strings.CutPrefix(entry, own); ok && (rest == "" || rest[0] == '[' || rest[0] == '.') {
			return true
		}
	}
	return false
}

// copyCard returns a deep copy.
func copyCard(c *machine.Card) *machine.Card {
	data, err := json.Marshal(c)
	next := &machine.Card{}
	if err == nil {
		err = json.Unmarshal(data, next)
	}
	if err != nil {
		panic("a machine card of finite numbers can't be copied: " + err.Error()) // fields refuse all others
	}
	return next
}

// halves lays two objects side by side, the first a little wider.
type halves struct{}

const firstHalf = 0.56

func (*halves) MinSize(o []fyne.CanvasObject) fyne.Size {
	a, b := o[0].MinSize(), o[1].MinSize()
	return fyne.NewSize(a.Width+b.Width+12, max(a.Height, b.Height))
}

func (*halves) Layout(o []fyne.CanvasObject, size fyne.Size) {
	first := max(o[0].MinSize().Width, size.Width*firstHalf)
	o[0].Resize(fyne.NewSize(first, size.Height))
	o[0].Move(fyne.NewPos(0, 0))
	o[1].Resize(fyne.NewSize(size.Width-first-12, size.Height))
	o[1].Move(fyne.NewPos(first+12, 0))
}
