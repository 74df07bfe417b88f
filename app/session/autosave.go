package session

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"conewright/geom/filelock"
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
	autosaveName  = "autosave.json" // of the first window; others have autosave-2.json and so on
	autosaveEvery = time.Second     // at most
	mostAutosaved = 8 << 20         // bytes
	mostWindows   = 64              // that keep their work at one time
)

// autosaveNumbered returns the name of the i-th file, from 1.
func autosaveNumbered(i int) string {
	if i == 1 {
		return autosaveName
	}
	return fmt.Sprintf("autosave-%d.json", i)
}

// holdAutosave takes a file of this window's own, and keeps it until Close: one
// that wanted tells of. Its lock says that its owner still runs.
func (s *Session) holdAutosave(dir string, wanted func(path string) bool) bool {
	if os.MkdirAll(dir, 0o755) != nil {
		return false
	}
	for i := 1; i <= mostWindows; i++ {
		path := filepath.Join(dir, autosaveNumbered(i))
		if path == s.autosavePath || !wanted(path) {
			continue
		}
		lock, err := filelock.Take(path + ".lock")
		if err != nil {
			continue
		}
		if !wanted(path) { // its owner ended meanwhile
			lock.Release()
			continue
		}
		s.letGo()
		s.autosavePath, s.autosaveLock = path, lock
		return true
	}
	return false
}

// letGo leaves the window's file to others, with what it holds.
func (s *Session) letGo() {
	if s.autosaveLock != nil {
		s.autosaveLock.Release()
	}
	s.autosavePath, s.autosaveLock = "", nil
}

func missing(path string) bool {
	_, err := os.Lstat(path)
	return errors.Is(err, fs.ErrNotExist)
}

// Autosave keeps unsaved changes in a folder from now on, a moment after each.
func (s *Session) Autosave(dir string) {
	s.holdAutosave(dir, missing)
	s.Listen(s.autosaveSoon)
}

// autosaveSoon writes at once, and then at most once a second; changes in between
// make one file.
func (s *Session) autosaveSoon() {
	if s.autosavePending || s.aside != nil || s.history == nil || s.Setup() == s.autosavedSetup {
		return
	}
	rest := autosaveEvery - time.Since(s.autosavedAt)
	if rest <= 0 {
		s.autosave()
		return
	}
	s.autosavePending = true
	time.AfterFunc(rest, func() {
		s.post(func() {
			s.autosavePending = false
			s.autosave()
		})
	})
}

// autosave writes what is unsaved, or removes the file where nothing is. That
// it can't is no reason to disturb the work.
func (s *Session) autosave() {
	if s.history == nil || s.autosavePath == "" || s.aside != nil {
		return
	}
	now := s.Setup() // of a drag under way too: a kill in its middle loses nothing
	s.autosavedSetup = now
	s.autosavedAt = time.Now()
	name := s.autosavePath
	if !s.Unsaved() && s.preview == nil {
		_ = os.Remove(name)
		return
	}
	data, err := s.autosaveData(now)
	if err == nil {
		_ = atomic.WriteFile(name, bytes.NewReader(data))
	}
}

func (s *Session) autosaveData(setup *job.Setup) ([]byte, error) {
	out := withFiles(setup, func(path string) string {
		if abs, err := filepath.Abs(path); err == nil {
			return abs
		}
		return path
	})
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
// closed, but nothing of a window that still runs. It reports whether there was
// anything.
func (s *Session) Restore(dir string) (bool, error) {
	if !s.holdAutosave(dir, func(path string) bool { return !missing(path) }) {
		return false, nil
	}
	name := s.autosavePath
	data, err := readAutosaved(name)
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
	if s.autosavePath != "" {
		_ = os.Remove(s.autosavePath) // mostly not there
	}
}

// readAutosaved reads a file that may have grown beyond all bounds.
func readAutosaved(name string) ([]byte, error) {
	in, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer in.Close()
	return io.ReadAll(io.LimitReader(in, mostAutosaved+1))
}
