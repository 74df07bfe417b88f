package window

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"conewright/geom/job"
)

// goOwnWay opens a part and chooses the own slicer, as a user does.
func (b *bench) goOwnWay() {
	b.t.Helper()
	b.openPart()
	b.route.show(b.route.find("motion"))
	b.motion.choose(wayOwn)
	b.until("the meshes", func() bool { return b.own.current() })
}

func TestOwnSlicerWritesTheMeshesAndSaysWhatToSet(t *testing.T) {
	b := newBench(t)
	b.goOwnWay()
	file := filepath.Join(b.session.OutDir(), "warped", "part.stl")
	was, err := os.Stat(file)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(filepath.Join(b.session.OutDir(), "run.json")); err == nil {
		t.Error("it ran, nobody asked for that")
	}
	cards := zoneCards(b.session.SlicerSetups())
	// 0.2 mm square to a shell of 45 degrees is 0.2 / cos 45 upright.
	if len(cards) != 1 || !strings.Contains(cards[0].text, "layers 0.283 mm high") {
		t.Errorf("the card says %v", cards)
	}
	b.own.write()
	b.until("the meshes again", func() bool { return !b.own.writing && !b.own.wanted })
	if now, err := os.Stat(file); err != nil || !now.ModTime().Equal(was.ModTime()) {
		t.Error("the same mesh was written anew: motion that was sliced from it looks old")
	}
}

func TestMotionIsTakenWhenItAppears(t *testing.T) {
	b := newBench(t)
	b.goOwnWay()
	file := filepath.Join(b.session.OutDir(), "warped", "part_1h.gcode")
	if err := os.WriteFile(file, []byte("G1 X1 Y1 Z0.2 E1 F1000\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	begun := time.Now()
	b.until("the file", func() bool { return b.motion.motion["part"] == file })
	if took := time.Since(begun); took > 5*time.Second {
		t.Errorf("it took %v", took)
	}
	if got := b.motion.own.texts[0].Text; !strings.Contains(got, "part_1h.gcode") {
		t.Errorf("the row says %q", got)
	}
	if got := b.motion.options().Motion["part"]; got != file {
		t.Errorf("a run would take %q", got)
	}
	b.motion.choose(wayHere)
	if len(b.motion.options().Motion) != 0 {
		t.Error("planned here, and yet a file is taken")
	}
}

func TestARefusalIsShownAtOnceWithItsNumbers(t *testing.T) {
	b := newBench(t)
	b.goOwnWay()
	// Another part: a square of 40 mm, 2 mm high.
	var s strings.Builder
	s.WriteString("G21\nG90\nM83\n")
	for layer := range 10 {
		fmt.Fprintf(&s, "G1 Z%.1f F600\nG1 X80 Y80 F6000\n", 0.2*float64(layer+1))
		for _, at := range []string{"X120 Y80", "X120 Y120", "X80 Y120", "X80 Y80"} {
			s.WriteString("G1 " + at + " E1.5 F1800\n")
		}
	}
	file := filepath.Join(b.dir, "square.gcode")
	if err := os.WriteFile(file, []byte(s.String()), 0o666); err != nil {
		t.Fatal(err)
	}
	b.motion.takeMotion("part", file)
	b.until("the fit", func() bool { f := b.session.FindFit("part", file); return f != nil && !f.Active })
	text := b.motion.own.texts[0].Text
	if !strings.Contains(text, "part is refused:") || !strings.Contains(text, "40.3 x 40.3 x 2.0 mm") {
		t.Errorf("the page says %q", text)
	}
	if b.pane.open == nil || b.pane.open.key != "fit" || !strings.Contains(b.fit.text.Text, "40.3 x 40.3 x 2.0 mm") {
		t.Errorf("the picture isn't laid on the desk, or doesn't tell: %q", b.fit.text.Text)
	}
	if _, err := os.Stat(filepath.Join(b.session.OutDir(), "run.json")); err == nil {
		t.Error("it ran, nobody asked for that")
	}
	b.pane.lay("")
	b.refresh()
	if b.pane.open != nil {
		t.Error("it comes back after it was put away")
	}
	b.motion.own.look[0].OnTapped()
	if b.pane.open == nil {
		t.Error("it doesn't come back when asked for")
	}
	b.fit.of = nil
	b.motion.takeMotion("part", file) // sliced again: the desk shows the new one
	b.until("the fit", func() bool { f := b.session.FindFit("part", file); return f != nil && !f.Active })
	if b.fit.of == nil {
		t.Error("the file's newer state isn't shown")
	}
	b.route.show(b.route.find("zones"))
	b.refresh()
	if b.pane.open != nil {
		t.Error("it lies over another operation")
	}
	b.do("step.angle", func(s *job.Setup) { s.Zones.Field.Angle = 40 })
	b.until("figures", b.session.Judged)
	if b.own.current() || b.fitOf("part") != nil {
		t.Error("the file is compared while nobody looks")
	}
	b.route.show(b.route.find("motion"))
	b.until("the fit to what was changed", func() bool { f := b.fitOf("part"); return f != nil && !f.Active })
	if f := b.fitOf("part"); f.Result == nil || f.Result.Fits {
		t.Errorf("%v", f.Err)
	}
}

// What the planner made, moved over the bed, stands for a file of the user's own
// slicer: the page tells how far it was moved.
func TestAFileThatFitsIsShownWithItsRegistration(t *testing.T) {
	if testing.Short() {
		t.Skip("runs two jobs")
	}
	b := newBench(t)
	b.openPart()
	b.do("step.shell", func(s *job.Setup) { s.Shell, s.Bead = 0.4, 0.8; s.Zones.Field.Angle = 30 })
	run := func() {
		b.startRun()
		b.until("the end of the run", func() bool { return !b.session.Run().Active })
	}
	run()
	planned, err := os.ReadFile(filepath.Join(b.session.OutDir(), "planar", "part.gcode"))
	if err != nil {
		t.Fatal(err)
	}
	moved := regexp.MustCompile(`X([0-9.]+)`).ReplaceAllStringFunc(string(planned), func(word string) string {
		v, err := strconv.ParseFloat(word[1:], 64)
		if err != nil {
			t.Fatal(err)
		}
		return fmt.Sprintf("X%.3f", v+10)
	})
	file := filepath.Join(b.dir, "mine.gcode")
	if err := os.WriteFile(file, []byte(moved), 0o666); err != nil {
		t.Fatal(err)
	}
	b.motion.takeMotion("part", file)
	if !strings.Contains(b.motion.fit.Text, "run again") {
		t.Errorf("before the run the page says %q", b.motion.fit.Text)
	}
	run()
	b.route.show(b.route.find("motion"))
	b.until("the fit", func() bool { f := b.session.FindFit("part", file); return f != nil && !f.Active })
	if text := b.motion.own.texts[0].Text; !strings.Contains(text, "part fits: moved by 10.0") {
		t.Errorf("the page says %q", text)
	}
	if text := b.fit.text.Text; b.fit.of == nil || !strings.Contains(text, "layers, from z") {
		t.Errorf("the picture's words: %q", text)
	}
	last := len(b.fit.of.Heights) - 1
	b.fit.slider.SetValue(float64(last))
	if b.fit.picture.height != last || len(b.fit.of.Heights[last].Section) == 0 {
		t.Errorf("the slider shows height %d of %d", b.fit.picture.height, last)
	}
}

func TestAFileOfNoZoneIsAskedAbout(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.zones.addCut()
	b.until("figures", b.session.Judged)
	b.route.show(b.route.find("motion"))
	b.motion.choose(wayOwn)
	b.until("the meshes", func() bool { return b.own.current() })
	dir := filepath.Join(b.session.OutDir(), "motion")
	if err := os.MkdirAll(dir, 0o777); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(dir, "what.gcode")
	if err := os.WriteFile(file, []byte("G1 X1\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	b.until("the question", func() bool { return strings.Contains(b.motion.own.strays.Text, "what.gcode") })
	if len(b.motion.motion) != 0 {
		t.Errorf("taken for %v", b.motion.motion)
	}
	if err := os.Remove(file); err != nil {
		t.Fatal(err)
	}
	b.until("no question any more", func() bool { return !b.motion.own.strays.Visible() })
}
