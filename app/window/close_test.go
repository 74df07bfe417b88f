package window

import (
	"os"
	"path/filepath"
	"testing"

	"conewright/geom/job"
)

// What was given up by "Don't save" mustn't come back at the next start.
func TestClosingDropsWhatWasKeptForTheNextStart(t *testing.T) {
	b := newBench(t)
	b.openPart()
	b.do("step.fill", func(s *job.Setup) { s.Planner.Fill = 0.5 })
	kept := filepath.Join(b.settingsDir, "autosave.json")
	b.until("the change kept", func() bool { _, err := os.Stat(kept); return err == nil })
	b.endSession()
	if _, err := os.Stat(kept); !os.IsNotExist(err) {
		t.Errorf("after closing %s is still there: %v", kept, err)
	}
}
