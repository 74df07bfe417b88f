package session

import (
	"bytes"
	"path/filepath"

	"conewright/geom/job"
	"conewright/geom/message"

	"github.com/natefinch/atomic"
)

// Save writes the present setup as a job file; it is whole or not there. The
// part's path is kept relative to the job where the two lie together.
func (s *Session) Save(path string) error {
	if s.history == nil {
		return nil
	}
	now := s.history.Now()
	if err := write(path, now); err != nil {
		return err
	}
	s.path, s.saved = path, now
	s.DropAutosaved()
	s.changed()
	return nil
}

func write(path string, setup *job.Setup) error {
	out := withFiles(setup, func(file string) string { return pathFrom(filepath.Dir(path), file) })
	data, err := out.JSON()
	if err != nil {
		return message.Errorf("the job can't be written: %w", err)
	}
	if err := atomic.WriteFile(path, bytes.NewReader(data)); err != nil {
		return message.Errorf("the job can't be written to %s: %w", path, err)
	}
	return nil
}

// withFiles returns a copy of a setup whose parts' files are named by a function of
// where they lie.
func withFiles(setup *job.Setup, name func(path string) string) *job.Setup {
	out := setup.Clone()
	for i, one := range setup.Single() {
		file := name(one.PartPath())
		out.ChangePart(i, func(part *job.Setup) { part.Part.File = file })
	}
	return out
}

// pathFrom returns how a file is named from a folder: relative where it lies
// in it or below, so that the folder can be moved, else in full.
func pathFrom(dir, file string) string {
	abs, err := filepath.Abs(file)
	if err != nil {
		return file
	}
	if dir, err = filepath.Abs(dir); err != nil {
		return abs
	}
	if rel, err := filepath.Rel(dir, abs); err == nil && filepath.IsLocal(rel) {
		return rel
	}
	return abs
}
