package mesh

import (
	"archive/zip"
	"errors"
	"io"
	"path"
	"strings"

	"conewright/geom/message"
)

const (
	max3MFFiles  = 10_000 // in the package
	max3MFModels = 1_000  // model files among them

	// max3MFDirectory bounds the bytes that are read to list a package's files:
	// some 400 a file.
	max3MFDirectory = 4 << 20

	rootRelations = "_rels/.rels"
	modelRelation = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel" // 3MF Core Specification 1.3, appendix C
)

// read3MF adds what the build items of a 3MF package place on the bed, in mm.
// It reads the package and its models itself, as a stream, and keeps nothing
// but the meshes: the general 3MF library holds every word that it doesn't know,
// so that a file of a few hundred kilobytes filled gigabytes. The tests hold the
// two against each other.
func read3MF(src *watched, size int64, s *soup) error {
	pkg, err := openPackage(src, size, s.opt.MaxBytes)
	if err != nil {
		return err
	}
	root, err := pkg.root()
	if err != nil {
		return err
	}
	b := build{soup: s, pkg: pkg, left: s.opt.MaxFacets + s.opt.MaxFacets/2 + 4*max3MFPlaced, models: map[string]*model3MF{}}
	return b.place(root)
}

// pack is an opened 3MF package: a ZIP archive of parts (ISO/IEC 29500-2).
type pack struct {
	files map[string]*zip.File
	left  int64 // bytes that may still be unpacked
}

func openPackage(src *watched, size, limit int64) (*pack, error) {
	src.left = max3MFDirectory
	z, err := zip.NewReader(src, size)
	switch {
	case errors.Is(err, errTooMuch) || err == nil && len(z.File) > max3MFFiles:
		return nil, fault(FaultSize, message.Text{}, message.New("the package holds more than %d files", max3MFFiles), mendExport)
	case err != nil:
		return nil, fault(FaultFormat, message.Text{}, message.New("not a 3MF package, or cut off (it can't be unpacked)"), mendExport)
	}
	src.left = 2*size + max3MFDirectory // each file once, and their heads
	p := &pack{files: make(map[string]*zip.File, len(z.File)), left: limit}
	for _, f := range z.File {
		p.files[partName(f.Name)] = f
	}
	return p, nil
}

// partName brings names of parts to one form: they are compared without case
// and begin with a slash (ISO/IEC 29500-2).
func partName(name string) string {
	return strings.ToLower(path.Clean("/" + name))
}

// unpack hands the text of a file to read, no more than the limit leaves.
func (p *pack) unpack(name string, read func(io.Reader) error) error {
	f := p.files[partName(name)]
	if f == nil {
		return fault(FaultIndex, message.Name(name), message.New("the package refers to this file but doesn't hold it"), mendExport)
	}
	r, err := f.Open()
	if err != nil {
		return fault(FaultFormat, message.Name(name), message.New("can't be unpacked: %s", err), mendExport)
	}
	defer r.Close()
	err = read(&unpacking{pack: p, src: r})
	var known *ReadError
	switch {
	case err == nil || errors.As(err, &known):
		return err
	case errors.Is(err, errXMLForm):
		return fault(FaultFormat, message.Name(name), message.New("the XML is not well formed"), mendExport)
	case errors.Is(err, errXMLSize):
		return fault(FaultSize, message.Name(name), message.New("a tag is too long, or tags are nested too deep"), mendExport)
	case errors.Is(err, errTooMuch):
		return fault(FaultSize, message.Name(name), message.New("the package unpacks to more than the limit"), mendLimit)
	}
	return fault(FaultTruncated, message.Name(name), message.New("can't be unpacked: %s", err), mendExport)
}

// unpacking counts what a file of the package unpacks to.
type unpacking struct {
	pack *pack
	src  io.Reader
}

func (u *unpacking) Read(b []byte) (int, error) {
	n, err := u.src.Read(b)
	if u.pack.left -= int64(n); u.pack.left < 0 {
		return 0, errTooMuch
	}
	return n, err
}

// root returns the name of the model file with which the package starts.
func (p *pack) root() (string, error) {
	target := ""
	err := p.unpack(rootRelations, func(src io.Reader) error {
		for t := newTagReader(src); ; {
			begins, _, err := t.next()
			if err == io.EOF {
				return nil
			}
			if err != nil {
				return err
			}
			if begins && target == "" && string(t.name) == "Relationship" && t.attr("Type") == modelRelation {
				target = partName(t.attr("Target"))
			}
		}
	})
	if err == nil && target == "" {
		err = fault(FaultFormat, message.Name(rootRelations), message.New("the package names no 3D model"), mendExport)
	}
	return target, err
}
