package window

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"conewright/geom/form"
	"conewright/geom/job"
	"conewright/geom/mesh"
	"conewright/i18n"
	"conewright/render/drawing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// bench is a window of the test driver with a queue for its event loop.
type bench struct {
	*Window
	t     *testing.T
	queue chan func()
	dir   string
}

func newBench(t *testing.T) *bench {
	t.Helper()
	if err := i18n.Use("en"); err != nil {
		t.Fatal(err)
	}
	app := test.NewTempApp(t)
	b := &bench{t: t, queue: make(chan func(), 10000), dir: t.TempDir()}
	b.Window = New(Options{App: app, Post: func(f func()) { b.queue <- f }, SettingsDir: filepath.Join(b.dir, "settings")})
	b.win.Resize(fyne.NewSize(1280, 800))
	t.Cleanup(func() { b.session.Close(); b.win.Close() })
	return b
}

// until runs what is posted until a condition holds.
func (b *bench) until(what string, holds func() bool) {
	b.t.Helper()
	late := time.After(60 * time.Second)
	for !holds() {
		select {
		case f := <-b.queue:
			f()
		case <-late:
			b.t.Fatalf("never: %s", what)
		}
	}
}

// spindle writes an ASCII STL of a small body of revolution.
func spindle(t *testing.T, dir string) string {
	t.Helper()
	profile := [][2]float64{{0, 0}, {6, 0}, {6, 3}, {9, 6}, {0, 6}} // radius, height
	const n = 24
	at := func(p [2]float64, i int) [3]float64 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i%n) / n)
		return [3]float64{p[0] * cos, p[0] * sin, p[1]}
	}
	var s strings.Builder
	facet := func(a, b, c [3]float64) {
		s.WriteString("facet normal 0 0 0\nouter loop\n")
		for _, v := range [][3]float64{a, b, c} {
			fmt.Fprintf(&s, "vertex %.6f %.6f %.6f\n", v[0], v[1], v[2])
		}
		s.WriteString("endloop\nendfacet\n")
	}
	s.WriteString("solid spindle\n")
	for i := range len(profile) - 1 {
		p, q := profile[i], profile[i+1]
		for k := range n {
			if p[0] > 0 {
				facet(at(p, k), at(p, k+1), at(q, k+1))
			}
			if q[0] > 0 {
				facet(at(p, k), at(q, k+1), at(q, k))
			}
		}
	}
	s.WriteString("endsolid spindle\n")
	file := filepath.Join(dir, "spindle.stl")
	if err := os.WriteFile(file, []byte(s.String()), 0o644); err != nil {
		t.Fatal(err)
	}
	return file
}

func (b *bench) openPart() {
	b.t.Helper()
	b.Open(spindle(b.t, b.dir))
	b.until("figures of the part", func() bool { f := b.session.Facts(); return f != nil && f.Judged })
}

// openPosts opens a plate, 30 mm wide and 2 mm high, with a post of 14 mm on each of
// its ends, 20 mm apart.
func (b *bench) openPosts() {
	b.t.Helper()
	box := func(x0, x1, z0, z1 float64) *mesh.Mesh {
		return form.Box(r3.Vec{X: x0, Y: -3, Z: z0}, r3.Vec{X: x1, Y: 3, Z: z1})
	}
	var out bytes.Buffer
	posts := form.Joined(box(-15, 15, 0, 2), box(-13, -7, 1.5, 16), box(7, 13, 1.5, 16))
	if err := mesh.WriteSTL(&out, posts); err != nil {
		b.t.Fatal(err)
	}
	file := filepath.Join(b.dir, "posts.stl")
	if err := os.WriteFile(file, out.Bytes(), 0o644); err != nil {
		b.t.Fatal(err)
	}
	b.Open(file)
	b.until("figures of the posts", func() bool { f := b.session.Facts(); return f != nil && f.Judged })
}

func TestOpeningAPartFillsTheRoute(t *testing.T) {
	b := newBench(t)
	for _, p := range b.route.pages {
		if p.row.mark == markDone {
			t.Errorf("%s is done though nothing is open", p.key)
		}
	}
	b.openPart()
	for _, key := range []string{"part", "machine", "zones", "shells"} {
		if p := b.route.find(key); p.row.mark != markDone {
			t.Errorf("%s says %q", key, p.row.state)
		}
	}
	if got := b.route.find("zones").row.state; got != "1 zone, cone, outward, 45°" {
		t.Errorf("zones: %q", got)
	}
	if !strings.HasPrefix(b.win.Title(), "spindle") {
		t.Errorf("title %q", b.win.Title())
	}
}

func TestAFieldOfAPageIsAStepThatCanBeUndone(t *testing.T) {
	b := newBench(t)
	b.openPart()
	angle := func() float64 { return b.session.Setup().Zones.Field.Angle }
	b.zones.angle.SetText("30")
	b.zones.angle.OnSubmitted("30")
	if angle() != 30 {
		t.Fatalf("the angle is %g", angle())
	}
	b.zones.angle.TypedKey(&fyne.KeyEvent{Name: fyne.KeyUp})
	if angle() != 31 || b.zones.angle.Text != "31.0" {
		t.Errorf("an arrow key made it %g, shown as %q", angle(), b.zones.angle.Text)
	}
	b.session.Undo()
	b.session.Undo()
	if angle() != 45 || b.zones.angle.Text != "45.0" {
		t.Errorf("undone to %g, shown as %q", angle(), b.zones.angle.Text)
	}
	b.session.Redo()
	if angle() != 30 {
		t.Errorf("redone to %g", angle())
	}
	b.zones.angle.SetText("90")
	b.zones.angle.OnSubmitted("90")
	fault := b.route.find("zones").fault
	if angle() != 30 || b.zones.angle.Text != "90" || fault.Text == " " || strings.Contains(fault.Text, "zones.") || b.asking {
		t.Errorf("a refused angle left %g, shown as %q, said as %q", angle(), b.zones.angle.Text, fault.Text)
	}
	b.zones.angle.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if b.zones.angle.Text != "30.0" || fault.Text != " " {
		t.Errorf("Escape leaves %q and %q", b.zones.angle.Text, fault.Text)
	}
}

func TestADragOfTheAxisIsOneStep(t *testing.T) {
	b := newBench(t)
	b.openPart()
	edit := b.editOnSheet()
	for x := range 5 {
		edit.MoveAxis(0, r2.Vec{X: 126 + float64(x), Y: 106}, true)
	}
	edit.Done(drawing.Item{Kind: drawing.AxisItem})
	if got := *b.session.Setup().Zones.Field.Axis; got != [2]float64{130, 106} {
		t.Errorf("the axis is at %v", got)
	}
	if b.zones.axis[0].Text != "130.0" {
		t.Errorf("the page shows %q", b.zones.axis[0].Text)
	}
	b.session.Undo()
	if got := *b.session.Setup().Zones.Field.Axis; got != [2]float64{125, 105} {
		t.Errorf("undone to %v", got)
	}
	edit.Nudge(drawing.Item{Kind: drawing.AxisItem}, r3.Vec{Y: 0.1})
	if got := b.session.Setup().Zones.Field.Axis[1]; math.Abs(got-105.1) > 1e-9 {
		t.Errorf("nudged to %v", got)
	}
}

func TestARunWritesItsFilesAndSaysWhere(t *testing.T) {
	if testing.Short() {
		t.Skip("runs a whole job")
	}
	b := newBench(t)
	b.openPart()
	b.do("step.shell", func(s *job.Setup) { s.Shell, s.Bead = 0.4, 0.8; s.Zones.Field.Angle = 30 })
	b.askRun()
	if !b.asking {
		t.Fatal("no cautions before the first run on this machine")
	}
	if b.session.Run().Active {
		t.Fatal("it runs before the cautions were read")
	}
	b.asking = false
	b.remember(b.settings.WithAgreed(cardHash(b.session.Setup().Machine.Card)))
	b.askRun()
	b.until("the end of the run", func() bool { return !b.session.Run().Active })
	run := b.session.Run()
	if run.Result == nil {
		t.Fatal(run.Err)
	}
	for _, name := range []string{"run.json", "run.html", "drawing.svg", filepath.Join("warped", "part.stl")} {
		if _, err := os.Stat(filepath.Join(run.Out, name)); err != nil {
			t.Error(err)
		}
	}
	if text := b.motion.result.Text; !strings.Contains(text, filepath.Base(run.Out)) {
		t.Errorf("the page doesn't say where the files are: %q", text)
	}
}

func TestABrokenFileIsExplainedAndLosesNothing(t *testing.T) {
	b := newBench(t)
	b.openPart()
	was := b.session.Setup()
	file := filepath.Join(b.dir, "broken.json")
	if err := os.WriteFile(file, []byte(`{"conewright": 99}`), 0o644); err != nil {
		t.Fatal(err)
	}
	b.Open(file)
	if b.session.Setup() != was || !b.asking {
		t.Errorf("no word about it, or the setup is lost")
	}
}

func TestUnsavedWorkOutlivesAKill(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.do("step.angle", func(s *job.Setup) { s.Zones.Field.Angle = 33 })
	kept := filepath.Join(b.settingsDir, "autosave.json")
	b.until("autosave", func() bool { _, err := os.Stat(kept); return err == nil })
	b.session.Close() // as a kill does
	next := New(Options{App: b.app, Post: func(f func()) {}, SettingsDir: b.settingsDir})
	defer next.win.Close()
	next.Show(nil)
	if s := next.session.Setup(); s == nil || s.Zones.Field.Angle != 33 {
		t.Fatal("it is lost")
	}
	if !next.session.Unsaved() {
		t.Error("it passes for saved")
	}
}

func TestUnsavedWorkIsThereAgainWhateverFileIsGiven(t *testing.T) {
	b := newBench(t)
	b.openPart()
	part := b.session.Setup().PartPath()
	b.do("step.angle", func(s *job.Setup) { s.Zones.Field.Angle = 33 })
	kept := filepath.Join(b.settingsDir, "autosave.json")
	b.until("autosave", func() bool { _, err := os.Stat(kept); return err == nil })
	b.session.Close() // as a kill does
	for file, asks := range map[string]bool{part: false, filepath.Join(t.TempDir(), "other.stl"): true} {
		next := New(Options{App: b.app, Post: func(f func()) {}, SettingsDir: b.settingsDir})
		next.Show([]string{file})
		if s := next.session.Setup(); s == nil || s.Zones.Field.Angle != 33 {
			t.Errorf("%s: unsaved work is lost", file)
		}
		if next.asking != asks {
			t.Errorf("%s: asks: %v", file, next.asking)
		}
		next.win.Close()
		next.session.Close()
	}
}

func TestNumbersAreReadAsPeopleWriteThem(t *testing.T) {
	for text, want := range map[string]float64{"45": 45, "45.5": 45.5, "45,5": 45.5, " 0.2 mm": 0.2, "-3°": -3, "−3": -3, "15 %": 15, "0,125": 0.125, "1.500": 1.5, "1e1": 10} {
		if got, err := parseNumber(text); err != nil || got != want {
			t.Errorf("%q is %g (%v)", text, got, err)
		}
	}
	for _, text := range []string{"", "x", "1,2,3", "NaN", "Inf", "1.2.3", "1 2", "10 5", "1,500", "-2,250 mm", "0x10", "1_000", "5 mm mm"} {
		if got, err := parseNumber(text); err == nil {
			t.Errorf("%q passes for %g", text, got)
		}
	}
	defer i18n.Use("en")
	if err := i18n.Use("de"); err != nil {
		t.Fatal(err)
	}
	if got, err := parseNumber("1,500"); err != nil || got != 1.5 {
		t.Errorf("German 1,500 is %g (%v)", got, err)
	}
	if got, err := parseNumber("1.500"); err == nil {
		t.Errorf("German 1.500 passes for %g", got)
	}
}
