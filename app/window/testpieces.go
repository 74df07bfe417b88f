package window

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"conewright/app/focus"
	"conewright/app/settings"
	"conewright/geom/job"
	"conewright/geom/machine"
	"conewright/geom/mesh"
	"conewright/geom/message"
	"conewright/geom/testpiece"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/widget"
)

// testPieces is the page that makes test pieces for the machine at hand and writes the
// number that a print shows into its card, or into what is kept under a name.
type testPieces struct {
	w                   *Window
	kind                string
	title, text, result *widget.Label
	caption             *widget.Label
	choice              *choice
	reading             *focus.Entry
	make, take          *focus.Button
	takeOver            func() // what the reading says; nil: nothing yet
}

func newTestPieces(w *Window) *paper {
	p := &testPieces{w: w, kind: testpiece.Kinds()[0], title: widget.NewLabel(""), text: widget.NewLabel(""), result: widget.NewLabel(""), caption: caption("")}
	p.text.Wrapping, p.result.Wrapping = fyne.TextWrapWord, fyne.TextWrapWord
	p.choice = newChoice(testpiece.Kinds(), func(k string) string { return i18n.T("piece." + k) }, func(k string) {
		p.kind = k
		p.reading.SetText("")
		p.show()
	})
	p.reading = focus.NewEntry()
	p.reading.OnChanged = func(string) { p.tell() }
	p.make = focus.NewButton(i18n.T("pieces.make"), p.open)
	p.take = focus.NewButton(i18n.T("pieces.take"), func() {
		if p.takeOver != nil {
			p.takeOver()
			p.reading.SetText("")
		}
	})
	p.take.Importance = widget.HighImportance
	caution := remark()
	say(caution, i18n.T("pieces.caution"))
	form := container.NewVBox(fields(caption(i18n.T("pieces.piece")), p.choice), p.make, p.text,
		fields(p.caption, p.reading), p.result, p.take)
	w.pieces = p
	return &paper{key: "pieces", page: "machine", view: container.NewBorder(w.paperHead(p.title), caution, nil, nil, container.NewVScroll(form)), show: p.show}
}

func (p *testPieces) show() {
	s := p.w.session.Setup()
	p.title.SetText(i18n.T("pieces.title", "name", s.Machine.Card.Name))
	p.choice.show(p.kind)
	p.text.SetText(i18n.T("piece."+p.kind+".text", "height", i18n.Number(testpiece.DiscHeight, 2), "bead", i18n.Number(s.Bead, 2),
		"leans", numberList(testpiece.Leans(s.Machine.Card)), "spans", numberList(testpiece.Spans())))
	p.caption.SetText(i18n.T("piece." + p.kind + ".reading"))
	_, _, err := testpiece.Make(p.kind, s)
	enable(p.make, err == nil && p.w.settingsDir != "")
	p.tell()
	if err != nil {
		p.result.SetText(errorText(err))
	}
}

func numberList(list []float64) string {
	texts := make([]string, len(list))
	for i, v := range list {
		texts[i] = i18n.Number(v, 0)
	}
	return strings.Join(texts, ", ")
}

// open writes the piece and its job beside the settings and opens the job.
func (p *testPieces) open() {
	m, s, err := testpiece.Make(p.kind, p.w.session.Setup())
	if err != nil {
		p.w.complain(err)
		return
	}
	dir := filepath.Join(p.w.settingsDir, "pieces")
	s.Part.File = p.kind + ".stl"
	var part bytes.Buffer
	err = mesh.WriteSTL(&part, m)
	data, wrong := s.JSON()
	for _, e := range []error{err, wrong, os.MkdirAll(dir, 0o755)} {
		if e != nil {
			p.w.complain(e)
			return
		}
	}
	file := filepath.Join(dir, p.kind+".json")
	p.w.ifSaved(func() { // the piece takes the place of what is open
		for path, content := range map[string][]byte{filepath.Join(dir, s.Part.File): part.Bytes(), file: data} {
			if err := writeWhole(path, content); err != nil {
				p.w.complain(err)
				return
			}
		}
		p.w.Open(file)
	})
}

// tell says what a reading comes to.
func (p *testPieces) tell() {
	p.takeOver = nil
	text := ""
	if p.reading.Text != "" {
		v, err := parseNumber(p.reading.Text)
		if err == nil {
			text, err = p.read(p.w.session.Setup(), v)
		}
		if err != nil {
			text, p.takeOver = errorText(err), nil
		}
	}
	p.result.SetText(text)
	enable(p.take, p.takeOver != nil)
}

// read says what a reading comes to, and sets what taking it over does.
func (p *testPieces) read(s *job.Setup, v float64) (string, error) {
	switch p.kind {
	case testpiece.First:
		by, err := testpiece.Higher(v)
		if err != nil {
			return "", err
		}
		if !testpiece.KeepsTip(s.Machine.Card) {
			return i18n.T("piece.first.controller", "by", i18n.Number(by, 2)), nil
		}
		return i18n.T("piece.first.result", "by", i18n.Number(by, 2)), p.intoCard(s, func(c *machine.Card) { testpiece.LowerTip(c, by) })
	case testpiece.Flow:
		d, err := testpiece.Filament(s, v)
		if err != nil {
			return "", err
		}
		text := i18n.T("piece.flow.result", "was", i18n.Number(s.Machine.Card.Filament, 3), "new", i18n.Number(d, 3))
		return text, p.intoCard(s, func(c *machine.Card) { c.Filament = rounded(d) })
	case testpiece.Droop:
		name := p.presetName(s)
		text := i18n.T("piece.droop.result", "was", i18n.Number(s.Overhang, 0), "new", i18n.Number(v, 0), "name", name)
		return text, p.intoSetup(s, func(s *job.Setup) { s.Overhang = v }, func() {
			values := job.Defaults()
			kept := values.PrintSettings()
			if next := p.w.settings.PrintSettingsOfNext(); next != nil {
				kept = *next
			}
			kept.Overhang = v
			p.w.usePreset(p.w.settings.WithPreset(settings.Preset{Name: name, PrintSettings: kept}))
		})
	default:
		f, known := p.w.settings.FilamentOf(s.Material)
		if !known {
			f = settings.Filament{Name: s.Machine.Card.Name, Material: s.Material}
		}
		text := i18n.T("piece.bridge.result", "was", i18n.Number(100*f.Fan, 0), "new", i18n.Number(v, 0), "name", f.Name)
		f.Fan = v / 100
		return text, p.intoSetup(s, func(s *job.Setup) { s.Material.Fan = f.Fan }, func() { p.w.useFilament(p.w.settings.WithFilament(f)) })
	}
}

// presetName is that of the own preset that is in use, or the machine's.
func (p *testPieces) presetName(s *job.Setup) string {
	if own, ok := p.w.settings.OwnPreset(p.w.settings.Preset); ok {
		return own.Name
	}
	return s.Machine.Card.Name
}

// intoSetup lets taking over change the setup and keep something; an error says why the
// setup can't be so.
func (p *testPieces) intoSetup(s *job.Setup, change func(*job.Setup), keep func()) error {
	next := s.Clone()
	change(next)
	if err := next.Check(); err != nil {
		return err
	}
	p.takeOver = func() {
		keep()
		p.w.do("step.piece", change)
	}
	return nil
}

// intoCard lets taking over change the setup's card. An own card's file is written too;
// another card is laid open, to be saved under an own name.
func (p *testPieces) intoCard(s *job.Setup, change func(*machine.Card)) error {
	next := copyCard(s.Machine.Card)
	change(next)
	if err := next.Check(); err != nil {
		return err
	}
	file := p.w.mine.refOf(s.Machine)
	p.takeOver = func() {
		p.w.do("step.piece", func(s *job.Setup) { s.Machine = job.Machine{Card: next} })
		if !slices.Contains(p.w.settings.Machines, file) {
			p.w.pane.lay("card")
			return
		}
		data, err := cardJSON(next)
		if err == nil {
			err = writeWhole(file, data)
		}
		if err != nil {
			p.w.complain(message.Errorf("%s: %w", filepath.Base(file), err))
			return
		}
		p.w.keepCard(file)
	}
	return nil
}
