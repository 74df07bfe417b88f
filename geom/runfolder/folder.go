// Package runfolder keeps the folder that a run writes to: one run at a time, all
// of its files or none, and nobody else's files touched.
package runfolder

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"

	"conewright/geom/filelock"
	"conewright/geom/inputerror"
	"conewright/geom/message"
)

// Names of a run's files in its folder.
const (
	CorrectedName = "corrected.gcode"
	DryRunName    = "dry-run.gcode"
	DrawingName   = "drawing.svg"
	LogName       = "run.json"
	PageName      = "run.html"
	WarpedDir     = "warped"
	PlanarDir     = "planar"
)

const (
	lockName = ".conewright-lock"
	// stagePattern names the folder in which a run's files wait until all are
	// whole. One that a killed run left is settled by the next.
	stagePattern = ".conewright-"
	// oldDir, in the stage, holds the earlier run's files while the new ones are put
	// in their places.
	oldDir = "old"
	// planName, in the stage, lists the new files once they are being put in place.
	planName = "files"
)

var stageName = regexp.MustCompile(`^\.conewright-[0-9]+$`)

// subfolders are those of a run's folder, and of its stage.
var subfolders = []string{WarpedDir, PlanarDir}

// Folder is a folder that a run holds until Commit or Discard.
type Folder struct {
	dir   string
	disk  Disk
	lock  *filelock.Lock
	made  []string // folders that had to be made, the topmost first
	stage string
	order []string // names relative to dir, in the order of writing
}

// Open makes dir, if it is missing, locks it, and settles what a killed run left
// there. Errors are *inputerror.Error.
func Open(dir string, disk Disk) (*Folder, error) {
	f := &Folder{dir: filepath.Clean(dir), disk: disk}
	if err := f.open(); err != nil {
		f.Discard()
		return nil, err
	}
	return f, nil
}

func (f *Folder) open() error {
	if err := f.makeAll(f.dir); err != nil {
		return f.failed(err)
	}
	lock, err := filelock.Take(filepath.Join(f.dir, lockName))
	var held *filelock.HeldError
	if errors.As(err, &held) {
		return inputerror.New(f.dir, "wait until it is done, or choose another folder", "another run writes there (%s)", held.Holder)
	}
	if err != nil {
		return f.failed(err)
	}
	f.lock = lock
	if err := f.settle(); err != nil {
		return f.failed(err)
	}
	if f.stage, err = f.disk.MkdirTemp(f.dir, stagePattern); err != nil {
		return f.failed(err)
	}
	for _, sub := range subfolders {
		if err := f.disk.Mkdir(filepath.Join(f.stage, sub)); err != nil {
			return f.failed(err)
		}
	}
	return nil
}

// makeAll makes a folder and those above it, and remembers which.
func (f *Folder) makeAll(dir string) error {
	info, err := os.Stat(dir)
	if err == nil && info.IsDir() {
		return nil
	}
	if err == nil || dir == filepath.Dir(dir) {
		return &os.PathError{Op: "mkdir", Path: dir, Err: errNoFolder}
	}
	if err := f.makeAll(filepath.Dir(dir)); err != nil {
		return err
	}
	err = f.disk.Mkdir(dir)
	if err == nil {
		f.made = append(f.made, dir)
	}
	if errors.Is(err, os.ErrExist) { // another run made it meanwhile
		return nil
	}
	return err
}

var errNoFolder = errors.New("not a folder")

// failed turns a failed call into an input error: the folder is the user's.
func (f *Folder) failed(err error) error { return Unwritable(f.dir, err) }

// Unwritable tells of a folder that can't be written to. What isn't the file
// system's fault it passes on.
func Unwritable(dir string, err error) error {
	var told *inputerror.Error
	if errors.As(err, &told) {
		return told
	}
	var p *os.PathError
	var l *os.LinkError
	if !errors.As(err, &p) && !errors.As(err, &l) {
		return err
	}
	return inputerror.Caused(message.Name(dir), "free some space, or choose another folder", "can't write there (%s)", err)
}

func (f *Folder) place(name string) string { return Place(f.dir, name) }

// Place returns where a file of a run belongs in the run's folder.
func Place(dir, name string) string { return filepath.Join(dir, filepath.FromSlash(name)) }

// Path returns where a file waits.
func (f *Folder) Path(name string) string { return filepath.Join(f.stage, filepath.FromSlash(name)) }

// Open opens a waiting file for reading.
func (f *Folder) Open(name string) (*os.File, error) {
	in, err := f.disk.Open(f.Path(name))
	if err != nil {
		return nil, err
	}
	return in.(*os.File), nil
}

// Names returns the waiting files in the order of writing.
func (f *Folder) Names() []string { return append([]string(nil), f.order...) }

// Write makes a waiting file by a function that writes to it.
func (f *Folder) Write(name string, fill func(io.Writer) error) error {
	file, err := f.disk.Create(f.Path(name))
	if err != nil {
		return f.failed(err)
	}
	f.order = append(f.order, name)
	err = fill(file)
	if cerr := file.Close(); err == nil {
		err = cerr
	}
	if err != nil {
		return f.failed(err)
	}
	return nil
}

// Prepend puts text before a waiting file's contents.
func (f *Folder) Prepend(name, text string) error {
	body := f.Path(name) + ".body"
	if err := f.disk.Rename(f.Path(name), body); err != nil {
		return f.failed(err)
	}
	in, err := f.disk.Open(body)
	if err != nil {
		return f.failed(err)
	}
	f.order = slices.DeleteFunc(f.order, func(n string) bool { return n == name })
	err = f.Write(name, func(w io.Writer) error {
		if _, err := io.WriteString(w, text); err != nil {
			return err
		}
		_, err := io.Copy(w, in)
		return err
	})
	in.Close()
	if rerr := f.disk.Remove(body); err == nil && rerr != nil {
		return f.failed(rerr)
	}
	return err
}

// Forget removes a waiting file.
func (f *Folder) Forget(name string) error {
	for i, n := range f.order {
		if n == name {
			f.order = append(f.order[:i], f.order[i+1:]...)
			return f.disk.Remove(f.Path(name))
		}
	}
	return nil
}

// Sum names a waiting file's contents.
func (f *Folder) Sum(name string) (FileSum, error) { return f.sumIn(f.stage, name) }

// Discard removes what waits, lets go of the folder, and removes it if this run
// made it and nobody put anything there.
func (f *Folder) Discard() {
	if f.stage != "" {
		f.clear(f.stage)
	}
	f.release()
	for i := len(f.made) - 1; i >= 0; i-- {
		f.disk.Remove(f.made[i]) // it stays where it isn't empty
	}
}

func (f *Folder) release() {
	if f.lock != nil {
		f.lock.Release()
		f.lock = nil
	}
}
