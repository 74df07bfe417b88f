package window

import (
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"conewright/app/focus"
	"conewright/geom/job"
)

func TestATinyPartIsOfferedInInches(t *testing.T) {
	b := newBench(t)
	b.openPart()
	if b.inches() != nil {
		t.Error("a part of 18 mm is offered")
	}
	data, err := os.ReadFile(spindle(t, b.dir))
	if err != nil {
		t.Fatal(err)
	}
	small := regexp.MustCompile(`-?[0-9.]+`).ReplaceAllStringFunc(string(data), func(n string) string {
		v, err := strconv.ParseFloat(n, 64)
		if err != nil {
			return n
		}
		return strconv.FormatFloat(v/25.4, 'f', 6, 64)
	})
	file := b.dir + "/small.stl"
	if err := os.WriteFile(file, []byte(small), 0o644); err != nil {
		t.Fatal(err)
	}
	b.Open(file)
	b.until("figures", func() bool { f := b.session.Facts(); return f != nil && f.Part != nil && f.Part.Size[0] < 4 })
	button := b.inches()
	if button == nil {
		t.Fatal("a part of 0.7 mm isn't offered")
	}
	button.OnTapped()
	b.until("its size in mm", func() bool {
		f := b.session.Facts()
		return f.Part != nil && f.Part.Size[0] > 17 && f.Part.Size[0] < 19
	})
	if b.inches() != nil {
		t.Error("it is still offered")
	}
}

// inches returns the button of the offer, nil where it isn't shown.
func (b *bench) inches() *focus.Button {
	b.t.Helper()
	b.route.show(b.route.find("part"))
	for _, stop := range b.tabStops() {
		if button, ok := stop.(*focus.Button); ok && button.Text == "Take it as inches" {
			return button
		}
	}
	return nil
}

// Another file of the part keeps the plan; a job whose part moved finds it so.
func TestAPartIsReplacedUnderThePlan(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.do("step.angle", func(s *job.Setup) { s.Zones.Field.Angle = 33 })
	was := b.session.Setup().PartPath()
	next := filepath.Join(t.TempDir(), "second.stl")
	if err := os.Rename(was, next); err != nil {
		t.Fatal(err)
	}
	b.session.ReadAgain()
	b.until("the part is missed", func() bool { f := b.session.Facts(); return f.Setup == b.session.Setup() && f.Part == nil })
	b.replacePart(next)
	b.until("figures of the other file", func() bool { f := b.session.Facts(); return f.Setup == b.session.Setup() && f.Judged })
	if s := b.session.Setup(); s.PartPath() != next || s.Zones.Field.Angle != 33 {
		t.Errorf("the part is %s, the angle %g", s.PartPath(), s.Zones.Field.Angle)
	}
}

// What is shown is what is run: a file that was overwritten is read again first.
func TestAPartThatChangedOnDiskIsNotRun(t *testing.T) {
	b := newBench(t)
	b.openPart()
	file := b.session.Setup().PartPath()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, []byte(strings.ReplaceAll(string(data), "6.000000", "7.000000")), 0o644); err != nil {
		t.Fatal(err)
	}
	b.askRun()
	if b.session.Run().Active || !b.asking {
		t.Error("it runs, or doesn't say that the part was changed")
	}
	b.until("the new file is shown", func() bool { f := b.session.Facts(); return f.Judged && !f.Model.Changed(b.session.Setup()) })
}
