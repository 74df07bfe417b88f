package mesh

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"
)

// ReadOptions say what a file's numbers mean and how much is taken in. The
// zero value reads mm, with limits that suit a desktop computer.
type ReadOptions struct {
	Unit      float64 // mm to one unit of an STL or OBJ file; 0 means 1. 3MF says its own
	MaxBytes  int64   // of the file, and of what is packed in it; 0 means 512 MiB
	MaxFacets int     // 0 means ten millions
}

const (
	defaultMaxBytes  = 512 << 20
	defaultMaxFacets = 10_000_000

	// maxCoordinate, mm, is far beyond any bed. It keeps squares and products
	// of coordinates within what float32 files and float64 sums hold well.
	maxCoordinate = 1e6
)

func (o ReadOptions) complete() ReadOptions {
	if o.Unit == 0 {
		o.Unit = 1
	}
	if o.MaxBytes <= 0 {
		o.MaxBytes = defaultMaxBytes
	}
	if o.MaxFacets <= 0 || o.MaxFacets > math.MaxInt32/3 { // half-edges count in int32
		o.MaxFacets = defaultMaxFacets
	}
	return o
}

// UnitSize returns the length of a unit of the job file, in mm: mm, cm, m, in.
func UnitSize(name string) (mm float64, ok bool) {
	switch name {
	case "mm":
		return 1, true
	case "cm":
		return 10, true
	case "m":
		return 1000, true
	case "in":
		return 25.4, true
	}
	return 0, false
}

// ReadFile reads a part from a .stl (binary or text), .3mf or .obj file. The
// mesh is in mm; vertices at exactly the same place are one. It may be open,
// turned or doubled: see Check and Mend. A file that can't be used gives a
// *ReadError.
func ReadFile(path string, opt ReadOptions) (*Mesh, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, named(path, openFault(err))
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return nil, named(path, err)
	}
	if !info.Mode().IsRegular() {
		return nil, named(path, fault(FaultOpen, "", "not a regular file", "give the path of a part file"))
	}
	return Read(f, info.Size(), path, opt)
}

func openFault(err error) error {
	r := &ReadError{Fault: FaultOpen, Err: err}
	switch {
	case errors.Is(err, fs.ErrNotExist):
		r.What, r.Mend = "there is no such file", "check the path"
	case errors.Is(err, fs.ErrPermission):
		r.What, r.Mend = "may not be read", "change its permissions"
	default:
		return err
	}
	return r
}

// Source is what parts are read from: a file, or a bytes.Reader.
type Source interface {
	io.ReadSeeker
	io.ReaderAt
}

// Read reads a part of size bytes from src; the ending of name tells the
// format. Otherwise it is like ReadFile.
func Read(src Source, size int64, name string, opt ReadOptions) (*Mesh, error) {
	opt = opt.complete()
	m, err := readAny(src, size, name, opt)
	if err != nil {
		return nil, named(name, err)
	}
	return m, nil
}

func readAny(src Source, size int64, name string, opt ReadOptions) (*Mesh, error) {
	if size == 0 {
		return nil, fault(FaultEmpty, "", "the file is empty", mendExport)
	}
	if size > opt.MaxBytes {
		return nil, fault(FaultSize, "", fmt.Sprintf("%d bytes are more than the limit of %d", size, opt.MaxBytes), mendLimit)
	}
	s := newSoup(opt)
	var err error
	switch strings.ToLower(filepath.Ext(name)) {
	case ".stl":
		err = readSTL(src, size, s)
	case ".obj":
		err = readOBJ(io.NewSectionReader(src, 0, size), s)
	case ".3mf":
		err = read3MF(src, size, s)
	default:
		err = fault(FaultFormat, "", "not a known kind of part file", "use .stl, .3mf or .obj")
	}
	if err != nil {
		return nil, err
	}
	return s.mesh()
}
