package lessons

import (
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// strip is the open page's words under the sheet, for a wall: the panel beside the
// sheet is hidden then. PageDown and PageUp, or a remote's keys, step through it.
type strip struct {
	title, words, verdict *widget.Label
	options               [Choices]*option
	choices               *fyne.Container
	chord                 *chordPicture // the lesson's own drawing, where it has one
	view                  *fyne.Container
}

// BuildStrip makes the strip anew in the language in use.
func (p *Panel) BuildStrip() fyne.CanvasObject {
	s := &strip{title: widget.NewLabel(""), words: paragraph(), verdict: paragraph()}
	s.title.SizeName, s.title.TextStyle.Bold = theme.SizeNameHeadingText, true
	s.verdict.TextStyle.Bold = true
	s.choices = container.NewGridWithColumns(Choices)
	for i := range s.options {
		s.options[i] = newOption(func() { p.Choose(i) })
		s.choices.Add(s.options[i])
	}
	s.chord = newChordPicture()
	s.chord.wall = true
	words := container.New(layout.NewCustomPaddedVBoxLayout(-4), s.title, s.words, s.choices, s.verdict)
	s.view = container.New(layout.NewCustomPaddedLayout(2, 8, 12, 12), container.NewBorder(nil, nil, nil, s.chord, words))
	p.strip = s
	s.write(p)
	return s.view
}

// write sets the strip's texts from the open page.
func (s *strip) write(p *Panel) {
	s.title.SetText(p.titleText())
	s.words.SetText(p.words())
	for i, o := range s.options {
		o.SetText(p.optionText(i))
	}
	s.verdict.SetText(p.verdict.Text)
	visible(s.choices, p.step == Foretell)
	visible(s.chord, p.step != Foretell && p.Lesson().Control == Chord)
	visible(s.verdict, s.verdict.Text != "")
	s.view.Refresh()
}

// StepOn shows what comes next to a class: the next page, and the exercise's
// solution before the next lesson.
func (p *Panel) StepOn() {
	switch {
	case p.step == Exercise && p.verdict.Text == "":
		p.tell(i18n.T("lesson." + p.Lesson().Key + ".solved"))
	case p.step != Exercise || p.at < len(p.lessons)-1:
		p.Forward()
	}
}

// StepBack goes back as StepOn goes on.
func (p *Panel) StepBack() {
	if p.at > 0 || p.step != Foretell {
		p.Backward()
	}
}

// tell says a verdict, beside the sheet and under it.
func (p *Panel) tell(verdict string) {
	p.verdict.SetText(verdict)
	p.box.Refresh()
	if p.strip != nil {
		p.strip.write(p)
	}
}
