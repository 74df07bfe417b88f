package window

import (
	"os"
	"path/filepath"
	"testing"

	"conewright/geom/job"
)

// A job that is opened again finds its last run, and says whether it still fits.
func TestAReopenedJobFindsItsLastRun(t *testing.T) {
	b := newBench(t)
	b.openPart()
	file := filepath.Join(b.dir, "spindle.json")
	if err := b.session.Save(file); err != nil {
		t.Fatal(err)
	}
	b.startRun()
	b.until("the end of the run", func() bool { return !b.session.Run().Active })
	if b.session.Run().Result == nil {
		t.Fatal(b.session.Run().Err)
	}
	b.Open(file)
	b.until("the earlier run", func() bool { e, _ := b.session.Earlier(); return e != nil })
	b.judged()
	state, m := b.motion.show()
	if m != markDone && m != markNeeds || !b.motion.carry.Visible() || b.motion.carry.Disabled() || !b.motion.folder.Visible() {
		t.Errorf("%q, mark %d, taking it along visible %v, disabled %v", state, m, b.motion.carry.Visible(), b.motion.carry.Disabled())
	}
	to := filepath.Join(t.TempDir(), carriedName(b.carriedPart(), false))
	if err := carry(filepath.Join(b.runDir(), motionName), to); err != nil {
		t.Error(err)
	}
	if info, err := os.Stat(to); err != nil || info.Size() == 0 || filepath.Base(to) != "spindle.gcode" {
		t.Errorf("%s: %v", to, err)
	}
	b.do("step.shell", func(s *job.Setup) { s.Shell = 0.25 })
	if state, m := b.motion.show(); m == markDone || !b.motion.carry.Disabled() {
		t.Errorf("after a change: %q, mark %d, taking it along disabled %v", state, m, b.motion.carry.Disabled())
	}
	b.session.Undo()
	if _, m := b.motion.show(); b.motion.carry.Disabled() || m == markNone {
		t.Error("the change undone, it doesn't fit again")
	}
}
