package job

import (
	"os"
	"path/filepath"
	"testing"
)

func TestAnEarlierRunIsFoundAndHeldAgainstTheJob(t *testing.T) {
	s := newJob(t, "straight", `{"name":"z","field":{"kind":"level"}}`)
	_, out := runJob(t, s)
	look := func() *Earlier {
		t.Helper()
		e, err := EarlierRun(out, s)
		if err != nil || e == nil {
			t.Fatalf("%v, %v", e, err)
		}
		return e
	}
	if e := look(); e.Match != SameRun || !e.Motion || e.Kept || !(e.Seconds > 0) || !(e.Filament > 0) || e.Made.IsZero() {
		t.Errorf("right after the run: %+v", e)
	}
	// Saved beside its part and read again it is the same job.
	data, err := s.JSON()
	if err != nil {
		t.Fatal(err)
	}
	again, err := Parse(data, s.Dir())
	if err != nil {
		t.Fatal(err)
	}
	if e, _ := EarlierRun(out, again); e == nil || e.Match != SameRun {
		t.Errorf("the job read again: %+v", e)
	}
	changed := s.Clone()
	changed.Shell = 0.25
	if e, _ := EarlierRun(out, changed); e.Match != OtherSetup {
		t.Errorf("another shell: %+v", e)
	}
	other := s.Clone()
	other.Machine.Card.MaxNozzleTemp = 280
	if e, _ := EarlierRun(out, other); e.Match != OtherSetup {
		t.Errorf("another card: %+v", e)
	}
	motion := filepath.Join(out, CorrectedName)
	text, err := os.ReadFile(motion)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(motion, append(text, "; by hand\n"...), 0o644); err != nil {
		t.Fatal(err)
	}
	if e := look(); e.Motion || e.Kept {
		t.Errorf("a motion file changed by hand: %+v", e)
	}
	part, err := os.ReadFile(s.PartPath())
	if err != nil {
		t.Fatal(err)
	}
	part[0] ^= 1 // in the header, or the solid's name
	if err := os.WriteFile(s.PartPath(), part, 0o644); err != nil {
		t.Fatal(err)
	}
	if e := look(); e.Match != OtherPart {
		t.Errorf("another part: %+v", e)
	}
	if e, err := EarlierRun(t.TempDir(), s); e != nil || err != nil {
		t.Errorf("an empty folder: %v, %v", e, err)
	}
	odd := t.TempDir()
	if err := os.WriteFile(filepath.Join(odd, "run.json"), []byte(`{"conewright_run": "no`), 0o644); err != nil {
		t.Fatal(err)
	}
	if e, _ := EarlierRun(odd, s); e != nil {
		t.Errorf("another program's log: %+v", e)
	}
}
