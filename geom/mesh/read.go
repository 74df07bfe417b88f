package mesh

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"

	"conewright/geom/message"
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

// Remarks are what a reader noticed and took none the less.
type Remarks struct {
	Trailing int64 // bytes after the last facet of a binary STL; they aren't used
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
// *ReadError, a context that is done its own error.
func ReadFile(ctx context.Context, path string, opt ReadOptions) (*Mesh, Remarks, error) {
	info, err := os.Stat(path) // before opening: opening a pipe would wait for its writer
	if err != nil {
		return nil, Remarks{}, named(path, openFault(err))
	}
	if !info.Mode().IsRegular() {
		return nil, Remarks{}, named(path, fault(FaultOpen, message.Text{}, message.New("not a regular file"), "give the path of a part file"))
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, Remarks{}, named(path, openFault(err))
	}
	defer f.Close()
	return Read(ctx, f, info.Size(), path, opt)
}

func openFault(err error) error {
	r := &ReadError{Fault: FaultOpen, Err: err}
	switch {
	case errors.Is(err, fs.ErrNotExist):
		r.What, r.Mend = message.New("there is no such file"), message.New("check the path")
	case errors.Is(err, fs.ErrPermission):
		r.What, r.Mend = message.New("may not be read"), message.New("change its permissions")
	default:
		return err
	}
	return r
}

// Read reads a part of size bytes from src; the ending of name tells the
// format. Otherwise it is like ReadFile.
func Read(ctx context.Context, src io.ReaderAt, size int64, name string, opt ReadOptions) (*Mesh, Remarks, error) {
	opt = opt.complete()
	s := newSoup(ctx, opt)
	err := s.read(src, size, name)
	if err != nil && ctx.Err() != nil {
		return nil, Remarks{}, ctx.Err()
	}
	if err != nil {
		return nil, Remarks{}, named(name, err)
	}
	return &Mesh{Vertices: s.welder.vertices, Facets: s.facets}, s.remarks, nil
}

func (s *soup) read(src io.ReaderAt, size int64, name string) error {
	if size == 0 {
		return fault(FaultEmpty, message.Text{}, message.New("the file is empty"), mendExport)
	}
	if size > s.opt.MaxBytes {
		return fault(FaultSize, message.Text{}, message.New("%d bytes are more than the limit of %d", size, s.opt.MaxBytes), mendLimit)
	}
	file := &watched{ctx: s.ctx, src: src, left: math.MaxInt64}
	var err error
	switch strings.ToLower(filepath.Ext(name)) {
	case ".stl":
		err = readSTL(file, size, s)
	case ".obj":
		err = readOBJ(io.NewSectionReader(file, 0, size), s)
	case ".3mf":
		err = read3MF(file, size, s)
	default:
		err = fault(FaultFormat, message.Text{}, message.New("not a known kind of part file"), "use .stl, .3mf or .obj")
	}
	if err != nil {
		return err
	}
	return s.check()
}
