package lessons

import (
	"math"

	"conewright/app/focus"
	"conewright/app/look"
	"conewright/geom/job"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
)

// Stage is what the window lends to the lessons. All are called on the event
// loop, and all are needed.
type Stage struct {
	Dir      string                        // where demo jobs may be unpacked
	Show     func(*job.Setup)              // puts a setup on the sheet
	Try      func(change func(*job.Setup)) // shows a change while a slider moves
	Settle   func(step string)             // makes it a step
	Look     func(azimuth, elevation float64)
	Warp     func(float64)
	Warped   func() float64
	Setup    func() *job.Setup
	Figures  func() string // overhang and mid-air starts of what is shown
	Handout  func()
	Present  func(on bool) // large texts
	Leave    func()
	Complain func(error)
}

// Panel is the course's page beside the sheet.
type Panel struct {
	stage      Stage
	lessons    []Lesson
	at         int
	cut        bool // the lesson's two zones are shown
	presenting bool

	count, title, text, value, figures *widget.Label
	try                                *widget.RichText
	slider                             *widget.Slider
	showing                            bool // the slider is being set, not moved
	sliderRow                          *fyne.Container
	cuts, back, next, large, leave     *focus.Button
	box                                *fyne.Container
	scroll                             *focus.Text
	view                               fyne.CanvasObject
}

// mostAngle is that of the slider, degrees: how far the demo machine's head leans.
const mostAngle = 45

// New returns the course; Build makes what is shown of it.
func New(stage Stage) *Panel { return &Panel{stage: stage, lessons: All()} }

// Build makes the page anew in the language in use, of the lesson that is open.
func (p *Panel) Build() fyne.CanvasObject {
	p.count, p.title, p.text = widget.NewLabel(""), paragraph(), paragraph()
	p.count.Alignment = fyne.TextAlignCenter
	p.try = widget.NewRichText()
	p.try.Wrapping = fyne.TextWrapWord
	p.value, p.figures = widget.NewLabel(""), paragraph()
	p.count.Importance, p.figures.Importance = widget.LowImportance, widget.LowImportance
	p.title.SizeName, p.title.TextStyle.Bold = theme.SizeNameHeadingText, true
	p.slider = widget.NewSlider(0, 1)
	p.slider.OnChanged = p.Slide
	p.slider.OnChangeEnded = func(float64) { p.Settle() }
	p.sliderRow = container.NewBorder(nil, nil, nil, p.value, container.NewThemeOverride(p.slider, look.Track{}))
	p.cuts = focus.NewButton("", p.SwitchCut)
	p.back = focus.NewButton(i18n.T("lesson.back"), func() { p.Open(p.at - 1) })
	p.next = focus.NewButton("", func() { p.forward() })
	p.next.Importance = widget.HighImportance
	p.large = focus.NewButton("", func() { p.Present(!p.presenting) })
	p.leave = focus.NewButton(i18n.T("lesson.leave"), p.Leave)
	handout := focus.NewButton(i18n.T("lesson.handout"), func() { p.stage.Handout() })
	// Close together: in large text all of a lesson goes on the first size of the
	// window.
	p.box = container.New(layout.NewCustomPaddedVBoxLayout(-5), p.title, p.text, p.try, p.sliderRow, p.cuts, p.figures)
	p.scroll = focus.NewText(p.box)
	buttons := container.NewVBox(container.NewBorder(nil, nil, p.back, p.next, p.count),
		container.NewGridWithColumns(2, handout, p.large), p.leave)
	p.view = container.New(layout.NewCustomPaddedLayout(10, 10, 10, 12),
		container.NewBorder(nil, buttons, nil, nil, p.scroll))
	p.write()
	return p.view
}

func paragraph() *widget.Label {
	l := widget.NewLabel("")
	l.Wrapping = fyne.TextWrapWord
	return l
}

// Lesson returns the open one.
func (p *Panel) Lesson() *Lesson { return &p.lessons[p.at] }

// At returns the open lesson's number, from 0.
func (p *Panel) At() int { return p.at }

// Open puts a lesson on the sheet, by its number from 0.
func (p *Panel) Open(i int) {
	if i < 0 || i >= len(p.lessons) {
		return
	}
	p.at, p.cut = i, false
	if p.load() {
		l := p.Lesson()
		p.stage.Look(l.Azimuth, l.Elevation)
		p.stage.Warp(l.Warp)
	}
	p.write()
	p.scroll.ScrollToTop()
}

// load puts the open lesson's setup on the sheet; false where it can't.
func (p *Panel) load() bool {
	setup, err := p.Lesson().setup(p.stage.Dir, !p.cut)
	if err != nil {
		p.stage.Complain(err)
		return false
	}
	p.stage.Show(setup)
	return true
}

// forward opens the next lesson; after the last it ends the course.
func (p *Panel) forward() {
	if p.at == len(p.lessons)-1 {
		p.Leave()
		return
	}
	p.Open(p.at + 1)
}

// Leave ends the course: the window puts the user's work back.
func (p *Panel) Leave() {
	p.Present(false)
	p.stage.Leave()
}

// Present makes texts large for a class, or as they were.
func (p *Panel) Present(on bool) {
	if p.presenting != on {
		p.presenting = on
		p.stage.Present(on)
		p.write()
	}
}

// write sets the page's texts and controls from the open lesson.
func (p *Panel) write() {
	l := p.Lesson()
	p.count.SetText(i18n.T("lesson.count", "n", i18n.Integer(p.at+1), "of", i18n.Integer(len(p.lessons))))
	p.title.SetText(i18n.T("lesson." + l.Key + ".title"))
	p.text.SetText(i18n.T("lesson." + l.Key + ".text"))
	p.try.Segments = []widget.RichTextSegment{
		&widget.TextSegment{Text: i18n.T("lesson.try") + ": ", Style: widget.RichTextStyle{Inline: true, TextStyle: fyne.TextStyle{Bold: true}}},
		&widget.TextSegment{Text: i18n.T("lesson." + l.Key + ".try"), Style: widget.RichTextStyle{Inline: true}},
	}
	p.try.Refresh()
	p.large.SetText(i18n.T("lesson.large"))
	if p.presenting {
		p.large.SetText(i18n.T("lesson.normal"))
	}
	p.next.SetText(i18n.T("lesson.next"))
	p.leave.Show()
	if p.at == len(p.lessons)-1 {
		p.next.SetText(i18n.T("lesson.end"))
		p.leave.Hide() // the other button does the same
	}
	if p.at == 0 {
		p.back.Disable()
	} else {
		p.back.Enable()
	}
	p.sliderRow.Hide()
	p.cuts.Hide()
	p.figures.Hide()
	switch l.Control {
	case WarpSlide: // changes no figure
		p.sliderRow.Show()
	case AngleRow:
		p.sliderRow.Show()
		p.figures.Show()
	case CutSwitch:
		p.figures.Show()
		p.cuts.SetText(i18n.T("lesson.twozones"))
		if p.cut {
			p.cuts.SetText(i18n.T("lesson.onezone"))
		}
		p.cuts.Show()
	}
	p.Refresh()
	p.box.Refresh() // texts of other lengths need other places
	p.view.Refresh()
}

// Refresh draws what may change beside the lesson: figures, and the slider that
// follows the setup and the sheet.
func (p *Panel) Refresh() {
	p.figures.SetText(p.stage.Figures())
	p.showing = true
	defer func() {
		p.showing = false
		p.sliderRow.Refresh() // the figure beside it may have grown
	}()
	switch p.Lesson().Control {
	case WarpSlide:
		p.slider.Max, p.slider.Step = 1, 0.01
		p.slider.SetValue(p.stage.Warped())
		p.value.SetText(i18n.Integer(int(math.Round(100*p.slider.Value))) + " %")
	case AngleRow:
		p.slider.Max, p.slider.Step = mostAngle, 1
		angle := 0.0
		if s := p.stage.Setup(); s != nil && s.Zones.Field != nil {
			angle = s.Zones.Field.Angle
		}
		p.slider.SetValue(angle)
		p.value.SetText(i18n.Integer(int(math.Round(angle))) + "°")
	}
}

// Slide does what the slider says.
func (p *Panel) Slide(v float64) {
	if p.showing {
		return
	}
	switch p.Lesson().Control {
	case WarpSlide:
		p.stage.Warp(v)
		p.Refresh()
	case AngleRow:
		p.stage.Try(setAngle(v))
	}
}

// Settle makes what was slid to a step.
func (p *Panel) Settle() {
	if !p.showing && p.Lesson().Control == AngleRow {
		p.stage.Settle("step.angle")
	}
}

// SwitchCut shows the lesson's part in one zone or in two.
func (p *Panel) SwitchCut() {
	p.cut = !p.cut
	p.load()
	p.write()
}
