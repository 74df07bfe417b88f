package window

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"

	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"
)

// motionName is the file of a run that is for the machine.
const motionName = "corrected.gcode"

// askCarry asks where the motion file is copied to for the machine, under the
// part's name.
func (m *motionPage) askCarry() {
	w, from := m.w, filepath.Join(m.w.runDir(), motionName)
	w.askSaveIn(w.carryDir(), i18n.T("motion.carry"), carriedName(w.carriedPart(), w.settings.ShortNames(w.session.Setup().Machine.Card.Name)), func(to string) error {
		if err := carry(from, to); err != nil {
			return err
		}
		next := w.settings
		next.Carried = filepath.Dir(to)
		w.remember(next)
		text := widget.NewLabel(i18n.T("motion.carried", "file", filepath.Base(to)))
		text.Wrapping = fyne.TextWrapWord
		w.showNote(i18n.T("motion.carriedtitle"), text, fyne.NewSize(460, 180), answer{key: "close"})
		return nil
	})
}

// runDir is the folder of the newest run, or of an earlier one that was found.
func (w *Window) runDir() string {
	if earlier, _ := w.session.Earlier(); earlier != nil {
		return earlier.Out
	}
	return w.session.Run().Out
}

// carriedPart is what the motion file is called after: its part, or the job of
// several.
func (w *Window) carriedPart() string {
	if s := w.session.Setup(); len(s.Parts) == 0 {
		return s.Part.File
	}
	return w.session.Name() + ".stl"
}

// carryDir is where the last motion file was taken, if that is there: a card reader
// has the same place each time.
func (w *Window) carryDir() string {
	if info, err := os.Stat(w.settings.Carried); err == nil && info.IsDir() {
		return w.settings.Carried
	}
	return w.filesDir()
}

// Lengths of a name that every old controller reads, without and with its ending, in
// letters, and the ending that they know (common practice, no source).
const (
	shortName   = 8
	shortEnding = ".GCO"
)

// carriedName is a part's name as every controller can read it: plain letters,
// digits, dashes. A short one has eight capital letters and an ending of three.
func carriedName(part string, short bool) string {
	base := strings.TrimSuffix(filepath.Base(part), filepath.Ext(part))
	plain := strings.Map(func(r rune) rune {
		if r >= '0' && r <= '9' || r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r == '-' || r == '_' {
			return r
		}
		return '-'
	}, base)
	if strings.Trim(plain, "-") == "" {
		plain = "part"
	}
	if short {
		return strings.ToUpper(plain[:min(len(plain), shortName)]) + shortEnding
	}
	return plain + ".gcode"
}

// carry copies a file, whole or not at all, and reads the copy back: memory cards
// fail silently.
func carry(from, to string) error {
	data, err := os.ReadFile(from)
	if err != nil {
		return err
	}
	if err := writeWhole(to, data); err != nil {
		return err
	}
	copied, err := os.Open(to)
	if err != nil {
		return err
	}
	defer copied.Close()
	sum, want := sha256.New(), sha256.Sum256(data)
	if _, err := io.Copy(sum, copied); err != nil {
		return err
	}
	if !bytes.Equal(sum.Sum(nil), want[:]) {
		return errors.New(i18n.T("motion.carryfault", "file", filepath.Base(to)))
	}
	return nil
}
