package session

import (
	"bytes"
	"os"
	"path/filepath"

	"conewright/geom/job"
	"conewright/geom/mesh"
	"conewright/geom/message"

	"github.com/natefinch/atomic"
)

// SlicerSetups returns what to set in the user's own slicer for each zone, nil
// until the figures of the present setup are known.
func (s *Session) SlicerSetups() []job.SlicerSetup {
	if !s.Judged() {
		return nil
	}
	return job.SlicerSetups(s.facts.Setup, s.facts.Regions)
}

// Judged reports whether the figures are those of the present setup, warped
// meshes included.
func (s *Session) Judged() bool {
	return s.facts != nil && s.facts.Setup == s.Setup() && s.facts.Judged && s.facts.Err == nil
}

// WriteWarped writes the warped mesh of each zone of the present setup below
// out, as a run does, and nothing else. done hears on the event loop how that
// ended. Without figures of the present setup it does nothing.
func (s *Session) WriteWarped(out string, done func(setup *job.Setup, err error)) {
	setups := s.SlicerSetups()
	if setups == nil {
		return
	}
	f := s.facts
	go func() {
		var err error
		for i, g := range f.Regions {
			if err = writeMesh(filepath.Join(out, filepath.FromSlash(setups[i].File)), g.Warped); err != nil {
				break
			}
		}
		s.post(func() { done(f.Setup, err) })
	}()
}

// writeMesh writes a mesh whole or not at all. A file that holds it already
// stays as it is: what was sliced from it is still newer than it.
func writeMesh(path string, m *mesh.Mesh) error {
	var b bytes.Buffer
	err := mesh.WriteSTL(&b, m)
	if err == nil {
		if old, e := os.ReadFile(path); e == nil && bytes.Equal(old, b.Bytes()) {
			return nil
		}
		err = os.MkdirAll(filepath.Dir(path), 0o777)
	}
	if err == nil {
		err = atomic.WriteFile(path, &b)
	}
	if err != nil {
		return message.Errorf("the warped mesh can't be written to %s; free some space, or save the job in another folder: %w", path, err)
	}
	return nil
}
