package job

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"conewright/geom/inputerror"
	"conewright/geom/message"

	"github.com/natefinch/atomic"
)

// Names of a run's files in its folder.
const (
	CorrectedName = "corrected.gcode"
	DryRunName    = "dry-run.gcode"
	DrawingName   = "drawing.svg"
	LogName       = "run.json"
	PageName      = "run.html"
	warpedDir     = "warped"
	planarDir     = "planar"
)

// stagePattern names the folder in which a run's files wait until all are
// whole. One that a killed run left is removed by the next.
const stagePattern = ".conewright-"

// files is a run's folder: what is written waits in stage until commit.
type files struct {
	dir   string
	made  string // the topmost folder that had to be made for dir, or ""
	stage string
	order []string // names relative to dir, in the order of writing
}

// removeMotion removes the motion files that an earlier run left in dir, but
// none that is an input of this run.
func removeMotion(dir string, inputs []string) error {
	stale := []string{filepath.Join(dir, CorrectedName), filepath.Join(dir, DryRunName)}
	planar, _ := filepath.Glob(filepath.Join(escape(dir), planarDir, "*.gcode"))
	for _, name := range append(stale, planar...) {
		if isInput(name, inputs) {
			continue
		}
		if err := os.Remove(name); err != nil && !os.IsNotExist(err) && !notAFolder(dir) {
			return inputerror.Caused(message.Name(name), "remove it, or choose another folder", "a motion file of an earlier run can't be removed (%s)", err)
		}
	}
	return nil
}

// escape keeps a folder's name from being read as a pattern.
func escape(dir string) string {
	return strings.NewReplacer(`*`, `[*]`, `?`, `[?]`, `[`, `[[]`).Replace(dir)
}

func notAFolder(dir string) bool {
	info, err := os.Stat(dir)
	return err != nil || !info.IsDir()
}

func isInput(name string, inputs []string) bool {
	a, err := os.Stat(name)
	if err != nil {
		return false
	}
	for _, in := range inputs {
		if b, err := os.Stat(in); err == nil && os.SameFile(a, b) {
			return true
		}
	}
	return false
}

// openFiles makes dir, if it is missing, and a stage in it.
func openFiles(dir string) (*files, error) {
	f := &files{dir: dir, made: firstMissing(dir)}
	fail := func(err error) (*files, error) {
		f.discard()
		return nil, unwritable(dir, err)
	}
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return fail(err)
	}
	old, _ := filepath.Glob(filepath.Join(escape(dir), stagePattern+"*"))
	for _, name := range old {
		os.RemoveAll(name) // a killed run's; if it stays, it does no harm
	}
	stage, err := os.MkdirTemp(dir, stagePattern)
	if err != nil {
		return fail(err)
	}
	f.stage = stage
	for _, sub := range []string{warpedDir, planarDir} {
		if err := os.Mkdir(filepath.Join(stage, sub), 0o777); err != nil {
			return fail(err)
		}
	}
	return f, nil
}

// unwritable tells of a folder that can't be written to.
func unwritable(dir string, err error) error {
	return inputerror.Caused(message.Name(dir), "free some space, or choose another folder", "can't write there (%s)", err)
}

func firstMissing(dir string) string {
	missing := ""
	for d := filepath.Clean(dir); ; d = filepath.Dir(d) {
		if _, err := os.Lstat(d); err == nil || d == filepath.Dir(d) {
			return missing
		}
		missing = d
	}
}

// path returns where a file waits.
func (f *files) path(name string) string { return filepath.Join(f.stage, filepath.FromSlash(name)) }

// create opens a waiting file and remembers it as an output.
func (f *files) create(name string) (*os.File, error) {
	file, err := os.Create(f.path(name))
	if err != nil {
		return nil, unwritable(f.dir, err)
	}
	f.order = append(f.order, name)
	return file, nil
}

// write makes a waiting file by a function that writes to it.
func (f *files) write(name string, fill func(io.Writer) error) error {
	file, err := f.create(name)
	if err != nil {
		return err
	}
	err = fill(file)
	if cerr := file.Close(); err == nil {
		err = cerr
	}
	if err != nil {
		return f.failed(err)
	}
	return nil
}

// failed makes an input error of a failed write.
func (f *files) failed(err error) error {
	if pathError(err) {
		return unwritable(f.dir, err)
	}
	return err
}

// forget leaves a waiting file out of the outputs.
func (f *files) forget(name string) {
	os.Remove(f.path(name))
	for i, n := range f.order {
		if n == name {
			f.order = append(f.order[:i], f.order[i+1:]...)
			return
		}
	}
}

// commit puts every waiting file in its place, each by one rename. The empty
// stage is removed if it lets itself be: some systems refuse while a scanner or
// a file browser looks into it, and then the next run removes it.
func (f *files) commit() error {
	for _, sub := range []string{warpedDir, planarDir} {
		if err := os.MkdirAll(filepath.Join(f.dir, sub), 0o777); err != nil {
			return unwritable(f.dir, err)
		}
	}
	for _, name := range f.order {
		if err := atomic.ReplaceFile(f.path(name), filepath.Join(f.dir, filepath.FromSlash(name))); err != nil {
			return unwritable(f.dir, err)
		}
	}
	// Folder by folder: Go's RemoveAll asks for what wine 8 doesn't know.
	for _, sub := range []string{warpedDir, planarDir} {
		os.Remove(f.path(sub))
	}
	os.RemoveAll(f.stage)
	return nil
}

// discard removes what waits, and the folder if this run made it.
func (f *files) discard() {
	if f.stage != "" {
		os.RemoveAll(f.stage)
	}
	if f.made != "" {
		os.RemoveAll(f.made)
	}
}

// sum tells of a file's contents.
func sum(path, as string) (FileLog, error) {
	in, err := os.Open(path)
	if err != nil {
		return FileLog{}, err
	}
	defer in.Close()
	h := sha256.New()
	n, err := io.Copy(h, in)
	if err != nil {
		return FileLog{}, fmt.Errorf("%s: %w", path, err)
	}
	return FileLog{File: as, Bytes: n, SHA256: hex.EncodeToString(h.Sum(nil))}, nil
}
