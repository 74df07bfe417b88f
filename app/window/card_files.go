package window

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"

	"conewright/geom/job"
	"conewright/geom/machine"
	"conewright/geom/message"
	"conewright/i18n"
)

// askLoad asks for a card's file.
func (e *cardEditor) askLoad() {
	e.w.askFile(i18n.T("card.load"), []string{".json"}, e.load)
}

// load takes a card from a file into the setup, if it checks.
func (e *cardEditor) load(path string) {
	f, err := os.Open(path)
	if err != nil {
		e.w.complain(message.Errorf("%s: %w", filepath.Base(path), err))
		return
	}
	defer f.Close()
	card, err := machine.Read(f)
	if err != nil {
		e.w.complain(message.Errorf("%s: %w", filepath.Base(path), err))
		return
	}
	if e.w.session.Setup() != nil {
		e.w.do("step.card", func(s *job.Setup) { s.Machine = job.Machine{Card: card} })
	}
	e.w.keepCard(path)
}

// askSave asks where to write the card; one that doesn't check isn't written.
func (e *cardEditor) askSave() {
	if fault := e.check(); fault != nil {
		e.w.complain(fault)
		return
	}
	e.w.askSave(i18n.T("card.save"), cardFileName(e.draft), e.save)
}

// cardFileName is the name of a card's file.
func cardFileName(c *machine.Card) string {
	return strings.Map(func(r rune) rune {
		if strings.ContainsRune(`/\:*?"<>|`, r) || r < ' ' {
			return '-'
		}
		return r
	}, c.Name) + ".json"
}

// save writes the card, whole or not at all.
func (e *cardEditor) save(path string) error { return e.w.writeCard(path, e.draft) }

// writeCard writes a card and lists it among the own machines.
func (w *Window) writeCard(path string, card *machine.Card) error {
	data, err := cardJSON(card)
	if err != nil {
		return message.Errorf("%s: %w", filepath.Base(path), err)
	}
	if err := writeWhole(path, data); err != nil {
		return err
	}
	w.keepCard(path)
	return nil
}

// cardJSON is a card as its file holds it.
func cardJSON(c *machine.Card) ([]byte, error) {
	data, err := json.MarshalIndent(c, "", "  ")
	return append(data, '\n'), err
}
