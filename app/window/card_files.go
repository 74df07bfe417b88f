package window

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"conewright/geom/job"
	"conewright/geom/machine"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/dialog"
	"github.com/natefinch/atomic"
)

// askLoad asks for a card's file.
func (e *cardEditor) askLoad() {
	e.w.askFile(i18n.T("card.load"), []string{".json"}, e.load)
}

// load takes a card from a file into the setup, if it checks.
func (e *cardEditor) load(path string) {
	f, err := os.Open(path)
	if err != nil {
		e.w.complain(fmt.Errorf("%s: %w", filepath.Base(path), err))
		return
	}
	defer f.Close()
	card, err := machine.Read(f)
	if err != nil {
		e.w.complain(fmt.Errorf("%s: %w", filepath.Base(path), err))
		return
	}
	e.w.do("step.card", func(s *job.Setup) { s.Machine = job.Machine{Card: card} })
}

// askSave asks where to write the card; one that doesn't check isn't written.
func (e *cardEditor) askSave() {
	if fault := e.check(); fault != nil {
		e.w.complain(fault)
		return
	}
	name := strings.Map(func(r rune) rune {
		if strings.ContainsRune(`/\:*?"<>|`, r) || r < ' ' {
			return '-'
		}
		return r
	}, e.draft.Name)
	e.w.askSave(i18n.T("card.save"), name+".json", e.save)
}

// save writes the card, whole or not at all.
func (e *cardEditor) save(path string) error {
	data, err := json.MarshalIndent(e.draft, "", "  ")
	if err == nil {
		err = atomic.WriteFile(path, bytes.NewReader(append(data, '\n')))
	}
	if err != nil {
		return fmt.Errorf("%s: %w", filepath.Base(path), err)
	}
	return nil
}

// askSave asks where to write a file. The dialog makes an empty one, which write
// then replaces; where write fails, nothing empty stays behind.
func (w *Window) askSave(title, name string, write func(path string) error) {
	if w.asking {
		return
	}
	d := dialog.NewFileSave(func(f fyne.URIWriteCloser, err error) {
		if err != nil {
			w.complain(err)
			return
		}
		if f == nil {
			return
		}
		path := f.URI().Path()
		_ = f.Close() // written whole, by a rename, not into this
		if err := write(path); err != nil {
			if info, e := os.Stat(path); e == nil && info.Size() == 0 {
				_ = os.Remove(path) // the dialog's own
			}
			w.complain(err)
		}
	}, w.win)
	d.SetTitleText(title)
	d.SetFileName(name)
	d.SetConfirmText(i18n.T("save"))
	d.SetDismissText(i18n.T("cancel"))
	w.startIn(d)
	w.showDialog(d, fyne.NewSize(820, 560))
}
