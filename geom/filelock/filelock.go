// Package filelock keeps a file for one process at a time. The system lets go of
// a lock when its process ends, however it ends.
package filelock

import (
	"fmt"
	"os"
	"strings"
	"time"

	"github.com/gofrs/flock"
)

// Lock is a lock that is held.
type Lock struct{ file *flock.Flock }

// HeldError says that another process, or another place in this one, holds a
// lock.
type HeldError struct {
	Path   string
	Holder string // who holds it, in words; "another process" where it isn't known
}

func (e *HeldError) Error() string { return e.Path + ": " + e.Holder + " holds it" }

// tries bounds how often a lock is tried whose file was removed meanwhile.
const tries = 20

// Take makes the lock file at path and locks it; it doesn't wait. The error is a
// *HeldError if the lock is held.
func Take(path string) (*Lock, error) {
	for range tries {
		l := flock.New(path)
		ok, err := l.TryLock()
		if err != nil {
			return nil, err
		}
		if !ok {
			return nil, &HeldError{path, holder(path)}
		}
		// The holder before may have removed the file after it was opened here. Then
		// this lock is on a file that nobody else will find.
		second := flock.New(path)
		if ok, err := second.TryLock(); err == nil && !ok {
			sign(path)
			return &Lock{l}, nil
		}
		second.Close()
		l.Close()
	}
	return nil, &HeldError{path, unknownHolder}
}

// Release removes the lock's file and lets go of it.
func (l *Lock) Release() {
	os.Remove(l.file.Path())
	l.file.Close()
	// Some systems don't remove an open file. A file that is locked again stays.
	if again := flock.New(l.file.Path(), flock.SetFlag(os.O_RDONLY)); again != nil {
		if ok, err := again.TryLock(); ok && err == nil {
			again.Close()
			os.Remove(l.file.Path())
		}
	}
}

const unknownHolder = "another process"

// textAt is where a lock file says who holds it: some systems lock the first byte
// against reading.
const (
	textAt   = 1
	maxBytes = 200
)

// sign writes who holds a lock. Without it the lock holds all the same.
func sign(path string) {
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return
	}
	defer f.Close()
	text := fmt.Sprintf("process %d, since %s", os.Getpid(), time.Now().Format("2006-01-02 15:04:05"))
	if _, err := f.WriteAt([]byte(text+"\n"), textAt); err == nil {
		_ = f.Truncate(int64(textAt + len(text) + 1)) // a longer text of an earlier holder
	}
}

func holder(path string) string {
	f, err := os.Open(path)
	if err != nil {
		return unknownHolder
	}
	defer f.Close()
	data := make([]byte, maxBytes)
	n, _ := f.ReadAt(data, textAt)
	text := strings.TrimSpace(strings.Map(printable, string(data[:n])))
	if text == "" {
		return unknownHolder
	}
	return text
}

func printable(r rune) rune {
	if r < ' ' || r > '~' {
		return -1
	}
	return r
}
