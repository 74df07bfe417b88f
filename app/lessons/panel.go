package lessons

import (
	"math"
	"slices"
	"unicode"

	"conewright/app/focus"
	"conewright/app/look"
	"conewright/geom/job"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
	"fyne.io/fyne/v2/layout"
	"fyne.io/fyne/v2/theme"
	"fyne.io/fyne/v2/widget"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
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
	Figures  func() string                        // overhang and mid-air starts of what is shown
	Number   func(string) (float64, error)        // reads a number as people write it
	Keep     func(lesson string, solved []string) // remembers where one is, and what was solved
	Handout  func()
	Present  func(on bool) // large texts
	Leave    func()
	Complain func(error)
}

// Step is a page of a lesson.
type Step uint8

// The steps of a lesson.
const (
	Foretell Step = iota // the question; the sheet stands as before the change
	Came                 // what came and why
	Exercise
)

// unchosen is the answer of one who has chosen none.
const unchosen = -1

// Panel is the course's page beside the sheet.
type Panel struct {
	stage      Stage
	lessons    []Lesson
	at         int
	step       Step
	chosen     int // the answer foretold, from 0, or unchosen
	tries      int // wrong answers to the exercise
	solved     []string
	cut        bool // the lesson's two zones are shown
	presenting bool

	title, text, value, figures, verdict *widget.Label
	progress                             *progress
	options                              [Choices]*option
	slider                               *widget.Slider
	showing                              bool // the slider is being set, not moved
	sliderRow, answerRow                 *fyne.Container
	answer                               *focus.Entry
	unit                                 *widget.Label
	chord                                *chordPicture
	cuts, back, next, large              *focus.Button
	box                                  *fyne.Container
	scroll                               *focus.Text
	view                                 fyne.CanvasObject
	strip                                *strip // nil: not built
}

// mostAngle is that of the slider, degrees: how far the demo machine's head leans.
const mostAngle = 45

// New returns the course at the lesson of a key, the first one where there is
// none; Build makes what is shown of it.
func New(stage Stage, lesson string, solved []string) *Panel {
	p := &Panel{stage: stage, lessons: All(), chosen: unchosen, solved: slices.Clone(solved)}
	p.at = max(slices.IndexFunc(p.lessons, func(l Lesson) bool { return l.Key == lesson }), 0)
	return p
}

// Build makes the page anew in the language in use, of the lesson that is open.
func (p *Panel) Build() fyne.CanvasObject {
	p.title, p.text, p.verdict = paragraph(), paragraph(), paragraph()
	p.verdict.TextStyle.Bold = true
	p.value, p.figures = widget.NewLabel(""), paragraph()
	p.figures.Importance = widget.LowImportance
	p.title.SizeName, p.title.TextStyle.Bold = theme.SizeNameHeadingText, true
	p.progress = newProgress(len(p.lessons), p.isSolved, p.Open)
	p.slider = widget.NewSlider(0, 1)
	p.slider.OnChanged = p.Slide
	p.slider.OnChangeEnded = func(float64) { p.Settle() }
	p.sliderRow = container.NewBorder(nil, nil, nil, p.value, container.NewThemeOverride(p.slider, look.Track{}))
	p.cuts = focus.NewButton("", p.SwitchCut)
	p.chord = newChordPicture()
	p.buildAnswer()
	// Close together: in large text all of a lesson goes on the first size of the
	// window.
	p.box = container.New(layout.NewCustomPaddedVBoxLayout(-5), p.title, p.text)
	for i := range p.options {
		p.options[i] = newOption(func() { p.Choose(i) })
		p.box.Add(container.New(layout.NewCustomPaddedLayout(8, 2, 6, 6), p.options[i]))
	}
	for _, o := range []fyne.CanvasObject{p.answerRow, p.verdict, p.sliderRow, p.cuts, p.chord, p.figures} {
		p.box.Add(o)
	}
	p.scroll = focus.NewText(p.box)
	p.view = container.New(layout.NewCustomPaddedLayout(10, 10, 10, 12),
		container.NewBorder(p.progress, p.buildButtons(), nil, nil, p.scroll))
	p.write()
	return p.view
}

// buildAnswer makes the row where an exercise is answered.
func (p *Panel) buildAnswer() {
	p.answer, p.unit = focus.NewEntry(), widget.NewLabel("")
	p.answer.OnSubmitted = func(string) { p.Check() }
	check := focus.NewButton(i18n.T("lesson.check"), p.Check)
	check.Importance = widget.HighImportance
	p.answerRow = container.NewBorder(nil, nil, nil, container.NewHBox(p.unit, check), p.answer)
}

// buildButtons makes what stands under a lesson.
func (p *Panel) buildButtons() fyne.CanvasObject {
	p.back = focus.NewButton(i18n.T("lesson.back"), p.Backward)
	p.next = focus.NewButton("", p.Forward)
	p.next.Importance = widget.HighImportance
	p.large = focus.NewButton("", func() { p.Present(!p.presenting) })
	leave := focus.NewButton(i18n.T("lesson.leave"), p.Leave)
	handout := focus.NewButton(i18n.T("lesson.handout"), func() { p.stage.Handout() })
	return container.NewVBox(container.NewGridWithColumns(2, p.back, p.next),
		container.NewGridWithColumns(2, handout, p.large), leave)
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

// Step returns the open page of the lesson.
func (p *Panel) Step() Step { return p.step }

func (p *Panel) isSolved(i int) bool { return slices.Contains(p.solved, p.lessons[i].Key) }

// Open puts a lesson's question on the sheet, by its number from 0.
func (p *Panel) Open(i int) { p.openStep(i, Foretell) }

// openStep opens a page of a lesson.
func (p *Panel) openStep(i int, step Step) {
	if i < 0 || i >= len(p.lessons) {
		return
	}
	same := i == p.at && step != Foretell && p.step != Foretell
	p.at, p.step, p.tries = i, step, 0
	p.answer.SetText("")
	if step == Foretell {
		p.chosen = unchosen
	}
	if !same { // the exercise goes on with what was tried
		p.cut = step != Foretell && p.Lesson().Control == CutSwitch
		if p.load() {
			p.lookAtIt()
		}
	}
	p.stage.Keep(p.Lesson().Key, p.solved)
	p.write()
	p.scroll.ScrollToTop()
}

// lookAtIt turns and warps what is drawn as the lesson wants it.
func (p *Panel) lookAtIt() {
	l := p.Lesson()
	p.stage.Look(l.Azimuth, l.Elevation)
	if l.Control == WarpSlide {
		p.stage.Warp(1) // the views make room for all of the way, and stay where they are on it
	}
	if p.step == Foretell {
		p.stage.Warp(l.WarpBefore)
	} else {
		p.stage.Warp(l.WarpAfter)
	}
}

// load puts the open lesson's setup on the sheet; false where it can't.
func (p *Panel) load() bool {
	after := p.step != Foretell
	if p.Lesson().Control == CutSwitch {
		after = p.cut
	}
	setup, err := p.Lesson().setup(p.stage.Dir, after)
	if err != nil {
		p.stage.Complain(err)
		return false
	}
	p.stage.Show(setup)
	return true
}

// Choose foretells by an answer's number, from 0, and shows what comes.
func (p *Panel) Choose(i int) {
	if p.step == Foretell && i >= 0 && i < Choices {
		p.chosen = i
		p.openStep(p.at, Came)
	}
}

// Point foretells by a click on the sheet, in the elevation or from above, where the
// lesson asks for a place.
func (p *Panel) Point(at r3.Vec, fromAbove bool) {
	if s := p.stage.Setup(); s != nil && s.Part.Seat != nil {
		p.Choose(p.Lesson().chosenBy(at, r2.Vec{X: s.Part.Seat[0], Y: s.Part.Seat[1]}, fromAbove))
	}
}

// TypedRune chooses the answer of a letter.
func (p *Panel) TypedRune(r rune) { p.Choose(int(unicode.ToUpper(r) - 'A')) }

// Answer writes an answer to the exercise and checks it.
func (p *Panel) Answer(written string) {
	p.answer.SetText(written)
	p.Check()
}

// Check compares what was written with the exercise's answer. The second wrong
// one brings the solution.
func (p *Panel) Check() {
	v, err := p.stage.Number(p.answer.Text)
	l := p.Lesson()
	solution := i18n.T("lesson." + l.Key + ".solved")
	switch {
	case err != nil:
		p.tell(err.Error())
	case l.Answer.Holds(v):
		p.tell(i18n.T("lesson.correct") + " " + solution)
		if !p.isSolved(p.at) {
			p.solved = append(p.solved, l.Key)
			p.stage.Keep(l.Key, p.solved)
			p.progress.Refresh()
		}
	case p.tries == 0:
		p.tries++
		p.tell(i18n.T("lesson.notyet"))
	default:
		p.tell(i18n.T("lesson.notso") + " " + solution)
	}
}

// Forward opens the next page; after the last it ends the course.
func (p *Panel) Forward() {
	switch {
	case p.step != Exercise:
		p.openStep(p.at, p.step+1)
	case p.at < len(p.lessons)-1:
		p.Open(p.at + 1)
	default:
		p.Leave()
	}
}

// Backward opens the page before.
func (p *Panel) Backward() {
	if p.step != Foretell {
		p.openStep(p.at, p.step-1)
		return
	}
	p.openStep(p.at-1, Exercise)
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

// letter is that of an answer, from 0.
func letter(i int) string { return string(rune('A' + i)) }

// write sets the page's texts and controls from the open lesson and step.
func (p *Panel) write() {
	l := p.Lesson()
	p.progress.show(p.at)
	p.title.SetText(p.titleText())
	p.text.SetText(p.words())
	for i, o := range p.options {
		o.SetText(p.optionText(i))
		visible(p.box.Objects[2+i], p.step == Foretell)
	}
	p.verdict.SetText("")
	if p.step == Came && p.chosen != unchosen {
		p.verdict.SetText(p.judged())
	}
	p.unit.SetText(l.Answer.Unit)
	p.large.SetText(i18n.T("lesson.large"))
	if p.presenting {
		p.large.SetText(i18n.T("lesson.normal"))
	}
	p.next.SetText(p.nextText())
	if p.at == 0 && p.step == Foretell {
		p.back.Disable()
	} else {
		p.back.Enable()
	}
	p.writeControls()
	p.Refresh()
	p.box.Refresh() // texts of other lengths need other places
	p.view.Refresh()
	if p.strip != nil {
		p.strip.write(p)
	}
}

func (p *Panel) titleText() string {
	return i18n.Integer(p.at+1) + "  " + i18n.T("lesson."+p.Lesson().Key+".title")
}

// optionText is an answer offered, after its letter.
func (p *Panel) optionText(i int) string {
	return letter(i) + "   " + p.Lesson().words(parts[i])
}

// words are those of the open page.
func (p *Panel) words() string {
	key := "lesson." + p.Lesson().Key
	switch p.step {
	case Came:
		return i18n.T(key + ".came")
	case Exercise:
		return i18n.T("lesson.exercise") + ": " + i18n.T(key+".task")
	}
	if len(p.Lesson().Places) > 0 {
		return i18n.T(key+".ask") + " " + i18n.T("lesson.point")
	}
	return i18n.T(key + ".ask")
}

// judged says whether what was foretold came.
func (p *Panel) judged() string {
	if p.chosen == p.Lesson().Right {
		return i18n.T("lesson.right", "letter", letter(p.chosen))
	}
	return i18n.T("lesson.wrong", "letter", letter(p.chosen), "right", letter(p.Lesson().Right))
}

func (p *Panel) nextText() string {
	switch {
	case p.step == Foretell:
		return i18n.T("lesson.show")
	case p.step == Came:
		return i18n.T("lesson.exercise")
	case p.at == len(p.lessons)-1:
		return i18n.T("lesson.end")
	}
	return i18n.T("lesson.next")
}

// writeControls shows what the open page gives to try with.
func (p *Panel) writeControls() {
	l, tried := p.Lesson(), p.step != Foretell
	visible(p.answerRow, p.step == Exercise)
	visible(p.verdict, p.step == Exercise || p.step == Came && p.chosen != unchosen)
	visible(p.sliderRow, tried && (l.Control == WarpSlide || l.Control == AngleRow))
	visible(p.cuts, tried && l.Control == CutSwitch)
	visible(p.chord, tried && l.Control == Chord)
	visible(p.figures, tried && l.Control != WarpSlide && l.Control != Chord) // these change no figure
	p.cuts.SetText(i18n.T("lesson.twozones"))
	if p.cut {
		p.cuts.SetText(i18n.T("lesson.onezone"))
	}
}

func visible(o fyne.CanvasObject, on bool) {
	if on {
		o.Show()
	} else {
		o.Hide()
	}
}

// Refresh draws what may change beside the lesson: figures, and the slider that
// follows the setup and the sheet.
func (p *Panel) Refresh() {
	p.figures.SetText(p.stage.Figures() + p.rule())
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
		p.slider.SetValue(p.angle())
		p.value.SetText(degrees(p.angle()))
	}
}

// angle is that of the shells that are shown, degrees.
func (p *Panel) angle() float64 {
	if s := p.stage.Setup(); s != nil && s.Zones.Field != nil {
		return s.Zones.Field.Angle
	}
	return 0
}

func degrees(v float64) string { return i18n.Integer(int(math.Round(v))) + "°" }

// rule is the lesson's line of figures, after a line's end; "": it has none.
func (p *Panel) rule() string {
	s := p.stage.Setup()
	if s == nil {
		return ""
	}
	switch p.Lesson().Rule {
	case OverhangRule: // a level underside leans out by 90 degrees from upright
		return "\n" + i18n.T("lesson.overhangrule", "angle", degrees(p.angle()), "rest", degrees(90-p.angle()), "limit", degrees(s.Overhang))
	case SquareRule:
		head := s.Machine.Card.Head
		return "\n" + i18n.T("lesson.squarerule", "tilt", degrees(head.Tilt), "angle", degrees(p.angle()),
			"off", degrees(math.Abs(head.Tilt-p.angle())), "most", degrees(head.OffSquare))
	}
	return ""
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
