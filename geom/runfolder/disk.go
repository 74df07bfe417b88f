package runfolder

import (
	"io"
	"io/fs"
	"os"
)

// Disk is what a folder asks of the file system. Tests make one call of it fail.
type Disk interface {
	Mkdir(dir string) error
	MkdirTemp(dir, pattern string) (string, error)
	Create(file string) (io.WriteCloser, error)
	Open(file string) (fs.File, error)
	Rename(from, to string) error
	Remove(path string) error
}

// System is the file system of the machine.
type System struct{}

// Mkdir makes a folder.
func (System) Mkdir(dir string) error { return os.Mkdir(dir, 0o777) }

// MkdirTemp makes a folder with a name of its own.
func (System) MkdirTemp(dir, pattern string) (string, error) { return os.MkdirTemp(dir, pattern) }

// Create makes a file or empties it.
func (System) Create(file string) (io.WriteCloser, error) { return os.Create(file) }

// Open opens a file for reading.
func (System) Open(file string) (fs.File, error) { return os.Open(file) }

// Rename moves a file; what stands there is replaced.
func (System) Rename(from, to string) error { return os.Rename(from, to) }

// Remove removes a file or an empty folder.
func (System) Remove(path string) error { return os.Remove(path) }
