package session

import (
	"bytes"
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"conewright/geom/job"
	"conewright/geom/message"

	"github.com/natefinch/atomic"
)

// autosaved is what outlives a kill: the setup, and where it belongs.
type autosaved struct {
	Version int             `json:"conewright_autosave"`
	Path    string          `json:"path"` // of the job file, "" for none yet
	Dir     string          `json:"dir"`  // what relative paths start from
	Job     json.RawMessage `json:"job"`
}

const (
	autosaveName  = "autosave.json"
	autosaveEvery = 2 * time.Second
	mostAutosaved = 8 << 20 // bytes
)

// Autosave keeps unsaved changes in a folder from now on, a moment after each.
func (s *Session) Autosave(dir string) {
	s.autosaveDir = dir
	s.Listen(s.autosaveSoon)
}

// autosaveSoon writes after a rest; many changes in between make one file.
func (s *Session) autosaveSoon() {
	if s.autosavePending || s.aside != nil || s.history == nil || s.Setup() == s.autosavedSetup {
		return
	}
	s.autosavePending = true
	time.AfterFunc(autosaveEvery, func() {
		s.post(func() {
			s.autosavePending = false
			s.autosave()
		})
	})
}

// autosave writes what is unsaved, or removes the file where nothing is. That
// it can't is no reason to disturb the work.
func (s *Session) autosave() {
	if s.history == nil || s.autosaveDir == "" || s.aside != nil {
		return
	}
	now := s.Setup() // of a drag under way too: a kill in its middle loses nothing
	s.autosavedSetup = now
	name := filepath.Join(s.autosaveDir, autosaveName)
	if !s.Unsaved() && s.preview == nil {
		_ = os.Remove(name)
		return
	}
	data, err := s.autosaveData(now)
	if err == nil {
		err = os.MkdirAll(s.autosaveDir, 0o755)
	}
	if err == nil {
		_ = atomic.WriteFile(name, bytes.NewReader(data))
	}
}

func (s *Session) autosaveData(setup *job.Setup) ([]byte, error) {
	out := setup.Clone()
	if abs, err := filepath.Abs(setup.PartPath()); err == nil {
		out.Part.File = abs
	}
	jobFile, err := out.JSON()
	if err != nil {
		return nil, err
	}
	dir, err := filepath.Abs(setup.Dir())
	if err != nil {
		return nil, err
	}
	path := s.path
	if path != "" { // the next start may be in another folder
		if path, err = filepath.Abs(path); err != nil {
			return nil, err
		}
	}
	return json.Marshal(autosaved{Version: 1, Path: path, Dir: dir, Job: jobFile})
}

// Restore takes up what was unsaved when the program ended without being
// closed. It reports whether there was anything.
func (s *Session) Restore(dir string) (bool, error) {
	name := filepath.Join(dir, autosaveName)
	data, err := os.ReadFile(name)
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	var a autosaved
	if err == nil && len(data) > mostAutosaved {
		err = message.Errorf("it is %d bytes long", len(data))
	}
	if err == nil {
		err = json.Unmarshal(data, &a)
	}
	var setup *job.Setup
	if err == nil {
		setup, err = job.Parse(a.Job, a.Dir)
	}
	if err != nil {
		return false, message.Errorf("%s: what was unsaved can't be taken up: %w", name, err)
	}
	s.begin(setup, a.Path, nil)
	return true, nil
}

// DropAutosaved removes what was kept: it has been saved or given up.
func (s *Session) DropAutosaved() {
	if s.autosaveDir != "" {
		_ = os.Remove(filepath.Join(s.autosaveDir, autosaveName)) // mostly not there
	}
}
