package session

import (
	"os"
	"path/filepath"
	"testing"

	"conewright/assets"
	"conewright/geom/job"
)

func TestADragUnderWayOutlivesAKill(t *testing.T) {
	dir := t.TempDir()
	path, err := assets.Unpack(dir, assets.DemoJob)
	if err != nil {
		t.Fatal(err)
	}
	s := New(func(func()) {})
	defer s.Close()
	kept := filepath.Join(dir, "kept")
	s.Autosave(kept)
	if err := s.Open(path); err != nil {
		t.Fatal(err)
	}
	s.Preview(func(j *job.Setup) { j.Zones.Field.Angle = 20 })
	s.autosave()

	next := New(func(func()) {})
	defer next.Close()
	next.Autosave(kept)
	if found, err := next.Restore(kept); found || err != nil {
		t.Fatalf("the work of a window that still runs is taken: %t, %v", found, err)
	}
	next.DropAutosaved()
	s.letGo() // killed
	if found, err := next.Restore(kept); !found || err != nil {
		t.Fatal(found, err)
	}
	if a := next.Setup().Zones.Field.Angle; a != 20 || !next.Unsaved() {
		t.Errorf("restored with %g degrees, unsaved: %v", a, next.Unsaved())
	}
	if !next.Holds(path) || next.Holds(filepath.Join(dir, "other.json")) {
		t.Errorf("it forgot that it belongs to %s: %s", path, next.Path())
	}

	next.DropPreview()
	next.DropAutosaved()
	if _, err := os.Stat(filepath.Join(kept, autosaveName)); !os.IsNotExist(err) {
		t.Errorf("work that was given up is kept: %v", err)
	}
}
