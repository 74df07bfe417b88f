package session

import (
	"os"
	"path/filepath"
	"testing"

	"conewright/assets"
	"conewright/geom/job"
)

func TestWorkPutAsideComesBackUntouched(t *testing.T) {
	dir := t.TempDir()
	var queue []func()
	s := New(func(f func()) { queue = append(queue, f) })
	defer s.Close()
	kept := filepath.Join(dir, "kept")
	s.Autosave(kept)
	demo := func(name string) *job.Setup {
		path, err := assets.Unpack(dir, name)
		if err != nil {
			t.Fatal(err)
		}
		setup, err := job.Load(path)
		if err != nil {
			t.Fatal(err)
		}
		return setup
	}
	path, err := assets.Unpack(dir, "cleat")
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Open(path); err != nil {
		t.Fatal(err)
	}
	if err := s.Do("step.shell", func(j *job.Setup) { j.Shell = 0.15 }); err != nil {
		t.Fatal(err)
	}
	own := s.Setup()

	s.PutAside(demo("bollard"))
	if err := s.Do("step.angle", func(j *job.Setup) { j.Zones.Field.Angle = 20 }); err != nil {
		t.Fatal(err)
	}
	s.autosave()
	data, err := os.ReadFile(filepath.Join(kept, autosaveName))
	if err != nil || !s.Unsaved() {
		t.Fatalf("unsaved work is in danger while it lies aside: %v", err)
	}
	s.PutAside(demo("hopper"))
	if s.Setup() == own || s.UndoName() != "" {
		t.Error("the second setup isn't there, or has a history")
	}
	s.TakeBack()
	if s.Setup() != own || s.Path() != path || s.UndoName() != "step.shell" || s.Aside() {
		t.Errorf("back: %v, %s, %s", s.Setup() == own, s.Path(), s.UndoName())
	}
	if again, _ := os.ReadFile(filepath.Join(kept, autosaveName)); string(again) != string(data) {
		t.Error("what was kept for a kill has changed")
	}
	s.TakeBack() // nothing lies aside: nothing happens
	if s.Setup() != own {
		t.Error("taken back twice")
	}
}

func TestNothingPutAsideIsNothingAgain(t *testing.T) {
	dir := t.TempDir()
	path, err := assets.Unpack(dir, assets.DemoJob)
	if err != nil {
		t.Fatal(err)
	}
	setup, err := job.Load(path)
	if err != nil {
		t.Fatal(err)
	}
	s := New(func(func()) {})
	defer s.Close()
	s.PutAside(setup)
	s.TakeBack()
	if s.Setup() != nil || s.Unsaved() || s.Name() != "" {
		t.Error("something is left")
	}
}
