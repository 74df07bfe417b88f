package lessons

import (
	"testing"

	"conewright/app/look"
	"conewright/geom/job"
	"conewright/i18n"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
)

// The panel's place in the window as it first opens, with large text.
const (
	largeScale     = 1.45
	panelW, panelH = 430, 655
)

// newTestPanel returns the course on a stage that shows nothing.
func newTestPanel(t *testing.T) *Panel {
	var setup *job.Setup
	return New(Stage{Dir: t.TempDir(),
		Show: func(s *job.Setup) { setup = s }, Try: func(func(*job.Setup)) {}, Settle: func(string) {},
		Number: func(string) (float64, error) { return 0, nil }, Keep: func(string, []string) {},
		Look: func(_, _ float64) {}, Warp: func(float64) {}, Warped: func() float64 { return 0.5 },
		Setup: func() *job.Setup { return setup }, Handout: func() {}, Present: func(bool) {}, Leave: func() {},
		Figures: func() string {
			return i18n.T("zones.overhang", "area", "1620", "level", "1620") + "\n" + i18n.N("zones.midair", 2)
		},
		Complain: func(err error) { t.Error(err) },
	}, "", nil)
}

func TestALessonInLargeTextNeedsNoScrolling(t *testing.T) {
	app := test.NewTempApp(t)
	app.Settings().SetTheme(look.Theme{TextScale: largeScale})
	p := newTestPanel(t)
	defer i18n.Use("en")
	for _, lang := range i18n.Languages() {
		if err := i18n.Use(lang.Tag); err != nil {
			t.Fatal(err)
		}
		view := p.Build()
		w := test.NewWindow(view)
		w.SetPadded(false)
		w.Resize(fyne.NewSize(panelW, panelH))
		for i := range All() {
			for _, step := range []Step{Foretell, Came, Exercise} {
				p.openStep(i, step)
				if step == Came {
					p.openStep(i, Foretell)
					p.Choose((p.Lesson().Right + 1) % Choices)
				}
				p.Present(true)
				if least := view.MinSize().Width; least > panelW {
					t.Errorf("%s: the panel is %g wide", lang.Tag, least)
				}
				if need, there := p.scroll.Content().MinSize().Height, p.scroll.Size().Height; need > there {
					t.Errorf("%s, lesson %d, step %d: %g high, there are %g", lang.Tag, i+1, step, need, there)
				}
			}
		}
		w.Close()
	}
}

// The lesson on straight moves draws something of its own, which a class must see as
// well as the sheet: with letters as high as the texts, and half the wall left for the
// sheet.
func TestALessonsOwnDrawingStandsOnTheWall(t *testing.T) {
	const wallW, wallH, wallScale = 1920, 1080, 0.022 * 1080 / 13
	app := test.NewTempApp(t)
	app.Settings().SetTheme(look.Theme{TextScale: wallScale})
	p := newTestPanel(t)
	defer i18n.Use("en")
	for _, lang := range i18n.Languages() {
		if err := i18n.Use(lang.Tag); err != nil {
			t.Fatal(err)
		}
		p.Build()
		view := p.BuildStrip()
		w := test.NewWindow(view)
		w.SetPadded(false)
		for i, l := range All() {
			for _, step := range []Step{Foretell, Came, Exercise} {
				p.openStep(i, step)
				w.Resize(fyne.NewSize(wallW, wallH))
				if got, want := p.strip.chord.Visible(), l.Control == Chord && step != Foretell; got != want {
					t.Errorf("%s, %s, step %d: drawing %v", lang.Tag, l.Key, step, got)
				}
				if least := view.MinSize(); least.Width > wallW || least.Height > wallH/2 {
					t.Errorf("%s, %s, step %d: %g x %g", lang.Tag, l.Key, step, least.Width, least.Height)
				}
			}
		}
		w.Close()
	}
	if high := chordLetters * p.strip.chord.unit(); high < 0.02*wallH {
		t.Errorf("letters of %g", high)
	}
}
