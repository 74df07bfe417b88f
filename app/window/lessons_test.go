package window

import (
	"bytes"
	"fmt"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"conewright/app/help"
	"conewright/app/lessons"
	"conewright/app/look"
	"conewright/app/sheet"
	"conewright/geom/job"
	"conewright/i18n"
	"conewright/render/drawing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/theme"
	"gonum.org/v1/gonum/spatial/r3"
)

func (b *bench) judged() {
	b.t.Helper()
	b.until("figures", func() bool {
		f := b.session.Facts()
		return f != nil && f.Judged && f.Setup == b.session.Setup()
	})
}

// totals sums up what the sheet shows.
func (b *bench) totals() (overhang float64, starts int) {
	b.t.Helper()
	b.judged()
	for _, z := range b.session.Facts().Zones {
		overhang, starts = overhang+z.Overhang, starts+z.MidAirStarts
	}
	return overhang, starts
}

func TestLessonsShowWhatTheySayAndGiveTheWorkBack(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.do("step.angle", func(s *job.Setup) { s.Zones.Field.Angle = 33 })
	b.motion.motion = map[string]string{"part": "mine"}
	b.warp.SetValue(0.25)
	b.sheet.Look(10, 20)
	own, looked := b.session.Setup(), b.sheet.Looked()

	b.course.begin()
	p := b.course.panel
	level, _ := b.totals()
	if level < 1000 || b.sheet.Warp() != 0 {
		t.Errorf("level layers leave %g mm2, warped by %g", level, b.sheet.Warp())
	}
	p.TypedRune('c') // foretold wrong
	if left, _ := b.totals(); left != level || p.Step() != lessons.Came || b.session.Setup().Zones.Field.Angle != 30 {
		t.Errorf("30 degrees leave %g mm2 of %g", left, level)
	}
	p.Open(1)
	p.Choose(1)
	if overhang, starts := b.totals(); overhang != 0 || starts != 0 || b.session.Setup().Zones.Field.Angle != 45 {
		t.Errorf("cones: %g mm2, %d starts", overhang, starts)
	}
	for i, l := range lessons.All() {
		p.Open(i)
		for step, warp := range []float64{l.WarpBefore, l.WarpAfter, l.WarpAfter} {
			if b.sheet.Warp() != warp || b.warp.Value != warp || p.Step() != lessons.Step(step) {
				t.Errorf("%s, step %d: warped by %g, the slider says %g", l.Key, p.Step(), b.sheet.Warp(), b.warp.Value)
			}
			if step < 2 {
				p.Forward()
			}
		}
	}
	p.Open(8)
	if _, starts := b.totals(); starts == 0 || len(b.session.Setup().Zones.Leaves()) != 1 {
		t.Errorf("one cone begins %d times in mid-air", starts)
	}
	p.Choose(1)
	if overhang, starts := b.totals(); overhang != 0 || starts != 0 || len(b.session.Setup().Zones.Leaves()) != 2 {
		t.Errorf("two zones: %g mm2, %d starts", overhang, starts)
	}
	p.SwitchCut()
	if got := len(b.session.Setup().Zones.Leaves()); got != 1 {
		t.Errorf("%d zones after the switch", got)
	}
	if !b.session.Unsaved() {
		t.Error("the user's change passes for saved")
	}

	p.Leave()
	if b.session.Setup() != own || b.session.UndoName() != "step.angle" || b.motion.motion["part"] != "mine" {
		t.Error("the work didn't come back as it was")
	}
	if b.sheet.Warp() != looked.Warp() || b.warp.Value != 0.25 || b.course.view.Visible() || !b.course.route.Visible() {
		t.Error("the window didn't come back as it was")
	}
}

func TestALessonCanBeTriedAndUndone(t *testing.T) {
	b := newBench(t)
	b.course.begin()
	b.course.panel.Forward()
	angle := func() float64 { return b.session.Setup().Zones.Field.Angle }
	b.course.panel.Slide(40)
	if angle() != 40 {
		t.Errorf("the slider made it %g", angle())
	}
	b.course.panel.Settle()
	b.session.Undo()
	if angle() != 30 {
		t.Errorf("undone to %g", angle())
	}
	b.ifSaved(func() {
		if b.session.Setup() != nil {
			t.Error("a lesson is still open when something else opens")
		}
	})
	if b.course.on {
		t.Error("it goes on")
	}
}

func TestAClickOnTheSheetForetells(t *testing.T) {
	b := newBench(t)
	b.course.begin()
	p := b.course.panel
	at := func(v drawing.View, x, z float64) sheet.Under {
		seat := *b.session.Setup().Part.Seat
		return sheet.Under{View: v, At: r3.Vec{X: seat[0] + x, Y: seat[1], Z: z}}
	}
	b.course.clicked(at(drawing.Elevation, 14, 24)) // the first lesson asks for no place
	if p.Step() != lessons.Foretell {
		t.Error("a click foretells where none is asked for")
	}
	p.Open(2)
	b.course.clicked(at(drawing.Pictorial, 14, 24))
	b.course.clicked(at(drawing.Elevation, 0, 24))
	if p.Step() != lessons.Foretell {
		t.Error("a click beside the shelf foretells")
	}
	b.course.clicked(at(drawing.Elevation, 14, 24))
	if p.Step() != lessons.Came {
		t.Error("a click on the shelf's free edge foretells nothing")
	}
}

func TestTheCourseChecksAnswersAndKeepsWhereOneIs(t *testing.T) {
	b := newBench(t)
	b.course.begin()
	p := b.course.panel
	if p.At() != 0 {
		t.Fatalf("it begins at %d", p.At())
	}
	p.Forward()
	p.Forward()
	for _, written := range []string{"", "60", "14,2"} {
		p.Answer(written)
		if len(b.settings.Solved) != 0 {
			t.Errorf("%q solves it", written)
		}
	}
	p.Answer("15°")
	if got := b.settings.Solved; len(got) != 1 || got[0] != "droop" {
		t.Errorf("solved: %v", got)
	}
	p.Forward()
	if b.settings.Lesson != "shell" || p.Step() != lessons.Foretell {
		t.Errorf("kept %q, step %d", b.settings.Lesson, p.Step())
	}
	p.Backward()
	if p.At() != 0 || p.Step() != lessons.Exercise {
		t.Errorf("back at lesson %d, step %d", p.At(), p.Step())
	}
	p.Open(6)
	p.Leave()
	again := newCourse(b.Window) // as at the next start
	if again.panel.At() != 6 {
		t.Errorf("it goes on at %d", again.panel.At())
	}
}

func TestLargeTextsComeAndGo(t *testing.T) {
	b := newBench(t)
	b.app.Settings().SetTheme(look.Theme{})
	small := theme.TextSize()
	b.course.begin()
	b.course.panel.Present(true)
	if theme.TextSize() <= small*1.3 || b.course.side.MinSize().Width <= routeWidth {
		t.Errorf("texts of %g are large, %g small", theme.TextSize(), small)
	}
	b.course.panel.Leave()
	if theme.TextSize() != small || b.course.side.MinSize().Width != routeWidth {
		t.Error("large texts stay")
	}
}

func TestLessonsFitTheWindowInAnyLanguage(t *testing.T) {
	b := newBench(t)
	b.app.Settings().SetTheme(look.Theme{})
	b.course.begin()
	defer i18n.Use("en")
	for _, l := range i18n.Languages() {
		if testing.Short() && l.Tag != "de" && l.Tag != "pl" || raced && l.Tag != "de" {
			continue // the longest texts are theirs
		}
		b.setLanguage(l.Tag)
		if !b.course.view.Visible() {
			t.Fatalf("%s: the lesson is gone", l.Tag)
		}
		for _, large := range []bool{false, true} {
			b.course.panel.Present(large)
			for i := range lessons.All() {
				b.course.panel.Open(i)
				if w, have := b.course.view.MinSize().Width, b.course.side.MinSize().Width; w > have {
					t.Errorf("%s: lesson %d needs %g of %g, large %v", l.Tag, i+1, w, have, large)
				}
			}
		}
		b.course.panel.Present(false)
	}
}

func TestAHandoutIsOnePage(t *testing.T) {
	b := newBench(t)
	b.course.begin()
	b.judged()
	data, err := b.handout()
	if err != nil || !bytes.HasPrefix(data, []byte("%PDF-")) || bytes.Count(data, []byte("/Type /Page\n")) != 1 {
		t.Errorf("%d bytes, %v", len(data), err)
	}
	if dir := os.Getenv("LESSON_PICTURES"); dir != "" {
		_ = os.WriteFile(filepath.Join(dir, "handout.pdf"), data, 0o644)
	}
}

func TestHelpHasEveryPageAndTheMenusKeys(t *testing.T) {
	b := newBench(t)
	for _, l := range i18n.Languages() {
		if raced && l.Tag != "de" {
			continue
		}
		b.setLanguage(l.Tag)
		for _, topic := range help.Topics() {
			b.showHelp(topic.Key)
			if title := topic.Title(); strings.HasPrefix(title, "help.") {
				t.Errorf("%s: no title for %s", l.Tag, topic.Key)
			}
		}
		keys := map[string]bool{}
		for _, s := range b.menu.shortcuts() {
			if keys[s.Keys] {
				t.Errorf("%s is twice in the menu", s.Keys)
			}
			keys[s.Keys] = true
		}
		if len(keys) < 9 {
			t.Errorf("only %d shortcuts", len(keys))
		}
	}
	b.setLanguage("en")
	b.about()
}

// TestPicturesOfTheLessons writes what one sees, for one to look at, where
// LESSON_PICTURES names a folder.
func TestPicturesOfTheLessons(t *testing.T) {
	dir := os.Getenv("LESSON_PICTURES")
	if dir == "" {
		t.Skip("nobody looks")
	}
	b := newBench(t)
	shot := func(name string) {
		b.win.Canvas().Capture() // asks for the drawing
		for late := time.After(2 * time.Second); ; {
			select {
			case f := <-b.queue:
				f()
				continue
			case <-late:
			}
			break
		}
		var buf bytes.Buffer
		if err := png.Encode(&buf, b.win.Canvas().Capture()); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name+".png"), buf.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for _, v := range []struct {
		name, tag string
		variant   fyne.ThemeVariant
		large     bool
	}{{"light", "en", theme.VariantLight, false}, {"dark", "de", theme.VariantDark, true}} {
		b.app.Settings().SetTheme(fixedVariant{look.Theme{}, v.variant})
		b.setLanguage(v.tag)
		b.course.begin()
		b.course.panel.Present(v.large)
		for i, l := range lessons.All() {
			b.course.panel.Open(i)
			for step := range 3 {
				b.judged()
				shot(fmt.Sprintf("%s-%02d-%s-%d", v.name, i+1, l.Key, step))
				if step < 2 {
					b.course.panel.Forward()
				}
			}
		}
		b.course.panel.Leave()
		b.showHelp("keys")
		shot(v.name + "-keys")
		b.win.Canvas().Overlays().Remove(b.win.Canvas().Overlays().Top())
		b.about()
		shot(v.name + "-about")
		b.win.Canvas().Overlays().Remove(b.win.Canvas().Overlays().Top())
	}
}

// fixedVariant is the look in a variant.
type fixedVariant struct {
	look.Theme
	variant fyne.ThemeVariant
}

func (f fixedVariant) Color(name fyne.ThemeColorName, _ fyne.ThemeVariant) color.Color {
	return f.Theme.Color(name, f.variant)
}

func TestALessonsWorksheetComesWithItsKey(t *testing.T) {
	b := newBench(t)
	data, err := lessons.Worksheets(lessons.All()[:1], b.settingsDir, usualSheet)
	if err != nil || bytes.Count(data, []byte("/Type /Page\n")) != 2 {
		t.Errorf("%d bytes, %d pages, %v", len(data), bytes.Count(data, []byte("/Type /Page\n")), err)
	}
}
