package window

import (
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"

	"conewright/geom/job"
	"conewright/geom/machine"
	"conewright/i18n"
)

// ownCard is a card of the user's own, read from its file.
type ownCard struct {
	path string
	card *machine.Card
}

// myMachines are the cards that the user saved or loaded, newest first. Files
// that are gone or can't be read are left out.
type myMachines struct{ cards []ownCard }

// read reads the cards of the files.
func (m *myMachines) read(files []string) {
	m.cards = nil
	for _, path := range files {
		if card, err := readCard(path); err == nil {
			m.cards = append(m.cards, ownCard{path, card})
		}
	}
}

func readCard(path string) (*machine.Card, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return machine.Read(f)
}

// refs lists the own cards' files, then the built-in cards.
func (m *myMachines) refs() []string {
	var refs []string
	for _, c := range m.cards {
		refs = append(refs, c.path)
	}
	return append(refs, machine.BuiltinNames()...)
}

// card returns the card of a file or a built-in name, nil where there is none.
func (m *myMachines) card(ref string) *machine.Card {
	for _, c := range m.cards {
		if c.path == ref {
			return c.card
		}
	}
	card, _ := machine.Builtin(ref)
	return card
}

// name is how a choice shows a machine.
func (m *myMachines) name(ref string) string {
	for _, c := range m.cards {
		if c.path == ref {
			return c.card.Name
		}
	}
	return ref
}

// refOf returns where a job's card is from; "": it is the job's own.
func (m *myMachines) refOf(of job.Machine) string {
	if of.Ref != "" {
		return of.Ref
	}
	for _, c := range m.cards {
		if reflect.DeepEqual(c.card, of.Card) {
			return c.path
		}
	}
	return ""
}

// newMachineChoice is a choice of the own and the built-in machines.
func (w *Window) newMachineChoice() *choice {
	c := newChoice(w.mine.refs(), w.mine.name, w.chooseMachine)
	c.PlaceHolder = i18n.T("machine.own")
	return c
}

// showMachine shows the setup's machine in a choice, or the next part's.
func (w *Window) showMachine(c *choice) {
	if refs := w.mine.refs(); !slices.Equal(refs, c.values) {
		c.offer(refs, w.mine.name)
	}
	if s := w.session.Setup(); s != nil {
		c.show(w.mine.refOf(s.Machine))
		return
	}
	c.show(w.nextMachine())
}

// nextMachine is the machine of the next part that is opened.
func (w *Window) nextMachine() string {
	if w.settings.Machine == "" {
		return "swivel-45"
	}
	return w.settings.Machine
}

// chooseMachine takes a machine for the setup, and for parts to come.
func (w *Window) chooseMachine(ref string) {
	card := w.mine.card(ref)
	if card == nil {
		return
	}
	next := w.settings
	next.Machine = ref
	w.useMachines(next.Machines, next.Machine)
	w.remember(next)
	of := job.Machine{Ref: ref, Card: card}
	if _, builtin := machine.Builtin(ref); !builtin {
		of.Ref = "" // the job holds the card: its file may move
	}
	if w.session.Setup() != nil {
		w.do("step.machine", func(s *job.Setup) { s.Machine = of })
		return
	}
	w.refresh()
}

// keepCard lists a card's file among the own machines; it is the next part's.
func (w *Window) keepCard(path string) {
	next := w.settings.WithCard(path)
	w.useMachines(next.Machines, next.Machine)
	w.remember(next)
	w.refresh()
}

func (w *Window) useMachines(files []string, ref string) {
	w.mine.read(files)
	w.session.UseMachine(ref)
}

// openCard takes a machine card that is opened like a part or a job. It reports
// whether the file is one.
func (w *Window) openCard(path string) bool {
	if !strings.EqualFold(filepath.Ext(path), ".json") {
		return false
	}
	if _, err := readCard(path); err != nil {
		return false
	}
	w.keepCard(path)
	w.chooseMachine(w.settings.Machine)
	w.route.show(w.route.find("machine"))
	return true
}
