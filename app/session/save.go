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
	out := setup.Clone()
	out.Part.File = pathFrom(filepath.Dir(path), setup.PartPath())
	data, err := out.JSON()
	if err != nil {
		return message.Errorf("the job can't be written: %w", err)
	}
	if err := atomic.WriteFile(path, bytes.NewReader(data)); err != nil {
		return message.Errorf("the job can't be written to %s: %w", path, err)
	}
	return nil
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
