package runfolder

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
)

// FileSum names a file and its contents.
type FileSum struct {
	File   string `json:"file"`
	Bytes  int64  `json:"bytes"`
	SHA256 string `json:"sha256"`
}

// SumOf reads all of a file's contents and names them.
func SumOf(in io.Reader, as string) (FileSum, error) {
	h := sha256.New()
	n, err := io.Copy(h, in)
	if err != nil {
		return FileSum{}, fmt.Errorf("%s: %w", as, err)
	}
	return FileSum{File: as, Bytes: n, SHA256: hex.EncodeToString(h.Sum(nil))}, nil
}

const (
	// MaxLogBytes bounds a run log that is read; one of 256 zones has under 1 MB.
	MaxLogBytes = 64 << 20
	// maxPageHead is how much of a page is read to know it.
	maxPageHead = 4096
)

// pageMark stands in the head of every page that this program wrote.
const pageMark = `<meta name="generator" content="Conewright">`

// earlier returns which files of the folder an earlier run wrote and nobody
// changed since: those whose sums its log lists, its log and its page.
func (f *Folder) earlier() (map[string]bool, error) {
	own := map[string]bool{}
	data, err := f.head(LogName, MaxLogBytes+1)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	if err != nil || len(data) > MaxLogBytes {
		return own, nil
	}
	var log struct {
		Version int       `json:"conewright_run"`
		Outputs []FileSum `json:"outputs"`
	}
	if json.Unmarshal(data, &log) != nil || log.Version < 1 {
		return own, nil
	}
	own[LogName] = true
	switch data, err := f.head(PageName, maxPageHead); {
	case err == nil && bytes.Contains(data, []byte(pageMark)):
		own[PageName] = true
	case err != nil && !errors.Is(err, fs.ErrNotExist):
		return nil, err
	}
	for _, l := range log.Outputs {
		if !ofARun(l.File) || own[l.File] {
			continue
		}
		switch have, err := f.sumIn(f.dir, l.File); {
		case err == nil && have == l:
			own[l.File] = true
		case err != nil && !errors.Is(err, fs.ErrNotExist) && !errors.Is(err, errNoFile):
			return nil, err
		}
	}
	return own, nil
}

// errNoFile says that a folder, a link or a device stands where a file is meant.
var errNoFile = errors.New("not a file")

// ofARun reports names that a run may write: a log can be anybody's.
func ofARun(name string) bool {
	switch name {
	case CorrectedName, DryRunName, DrawingName:
		return true
	}
	dir, file := path.Split(name)
	known := dir == WarpedDir+"/" && path.Ext(file) == ".stl" || dir == PlanarDir+"/" && path.Ext(file) == ".gcode"
	return known && filepath.IsLocal(name) && path.Clean(name) == name
}

func (f *Folder) head(name string, most int64) ([]byte, error) {
	if info, err := os.Lstat(f.place(name)); err == nil && !info.Mode().IsRegular() {
		return nil, nil
	}
	in, err := f.disk.Open(f.place(name))
	if err != nil {
		return nil, err
	}
	defer in.Close()
	return io.ReadAll(io.LimitReader(in, most))
}

func (f *Folder) sumIn(dir, name string) (FileSum, error) {
	at := Place(dir, name)
	if info, err := os.Lstat(at); err == nil && !info.Mode().IsRegular() {
		return FileSum{}, fmt.Errorf("%s: %w", name, errNoFile)
	}
	in, err := f.disk.Open(at)
	if err != nil {
		return FileSum{}, err
	}
	defer in.Close()
	return SumOf(in, name)
}
