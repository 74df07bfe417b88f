// Package faultydisk is a file system of which one call fails, for tests of what
// writes into a run's folder.
package faultydisk

import (
	"errors"
	"io"
	"io/fs"
	"os"
)

// Disk is a runfolder.Disk on the machine's own file system. It counts its calls, and
// the one with number At fails, from 1; 0: none. Not for use by several goroutines.
type Disk struct {
	Calls, At int
}

var errFails = errors.New("this call fails")

func (d *Disk) call(path string) error {
	d.Calls++
	if d.Calls == d.At {
		return &os.PathError{Op: "call", Path: path, Err: errFails}
	}
	return nil
}

// Mkdir makes a folder, also where the call fails: it may have come that far.
func (d *Disk) Mkdir(dir string) error { return errors.Join(d.call(dir), os.Mkdir(dir, 0o777)) }

// MkdirTemp makes a folder with a name of its own.
func (d *Disk) MkdirTemp(dir, pattern string) (string, error) {
	if err := d.call(dir); err != nil {
		return "", err
	}
	return os.MkdirTemp(dir, pattern)
}

// Create makes a file whose writes and whose closing may fail too.
func (d *Disk) Create(name string) (io.WriteCloser, error) {
	if err := d.call(name); err != nil {
		return nil, err
	}
	w, err := os.Create(name)
	return &file{w, d, name}, err
}

type file struct {
	io.WriteCloser
	disk *Disk
	path string
}

func (f *file) Write(p []byte) (int, error) {
	if err := f.disk.call(f.path); err != nil {
		return 0, err
	}
	return f.WriteCloser.Write(p)
}

func (f *file) Close() error { return errors.Join(f.disk.call(f.path), f.WriteCloser.Close()) }

// Open opens a file for reading.
func (d *Disk) Open(name string) (fs.File, error) {
	if err := d.call(name); err != nil {
		return nil, err
	}
	return os.Open(name)
}

// Rename moves a file.
func (d *Disk) Rename(from, to string) error {
	if err := d.call(from); err != nil {
		return err
	}
	return os.Rename(from, to)
}

// Remove removes a file or an empty folder.
func (d *Disk) Remove(path string) error {
	if err := d.call(path); err != nil {
		return err
	}
	return os.Remove(path)
}
