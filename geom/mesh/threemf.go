package mesh

import (
	"archive/zip"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"path"
	"strings"

	"github.com/hpinc/go3mf"
	specerr "github.com/hpinc/go3mf/errors"
)

const (
	max3MFFiles  = 10_000 // in the package
	max3MFModels = 1_000  // model files among them

	rootRelations = "_rels/.rels"
)

// read3MF adds what the build items of a 3MF package place on the bed, in mm.
// The package is opened here, file by file and bounded, and each model file is
// decoded by the library; its own package reader would decode model files side
// by side, where a fault inside could not be caught.
func read3MF(src io.ReaderAt, size int64, s *soup) error {
	pkg, err := openPackage(src, size, s.opt.MaxBytes)
	if err != nil {
		return err
	}
	root, err := pkg.root()
	if err != nil {
		return err
	}
	b := build{soup: s, pkg: pkg, models: map[string]*go3mf.Model{}}
	return b.place(root)
}

// pack is an opened 3MF package: a ZIP archive of parts (ISO/IEC 29500-2).
type pack struct {
	files map[string]*zip.File
	left  int64 // bytes that may still be unpacked
}

func openPackage(src io.ReaderAt, size, limit int64) (*pack, error) {
	z, err := zip.NewReader(src, size)
	if err != nil {
		return nil, fault(FaultFormat, "", "not a 3MF package, or cut off (it can't be unpacked)", mendExport)
	}
	if len(z.File) > max3MFFiles {
		return nil, fault(FaultSize, "", fmt.Sprintf("the package holds more than %d files", max3MFFiles), mendExport)
	}
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

// unpack returns the bytes of a file, no more than the limit leaves.
func (p *pack) unpack(name string) ([]byte, error) {
	f := p.files[partName(name)]
	if f == nil {
		return nil, fault(FaultIndex, name, "the package refers to this file but doesn't hold it", mendExport)
	}
	r, err := f.Open()
	if err != nil {
		return nil, fault(FaultFormat, name, "can't be unpacked: "+err.Error(), mendExport)
	}
	defer r.Close()
	data, err := io.ReadAll(io.LimitReader(r, p.left+1))
	if err != nil {
		return nil, fault(FaultTruncated, name, "can't be unpacked: "+err.Error(), mendExport)
	}
	if p.left -= int64(len(data)); p.left < 0 {
		return nil, fault(FaultSize, name, "the package unpacks to more than the limit", mendLimit)
	}
	return data, nil
}

// root returns the name of the model file with which the package starts.
func (p *pack) root() (string, error) {
	data, err := p.unpack(rootRelations)
	if err != nil {
		return "", err
	}
	var rels struct {
		Relationship []struct {
			Type   string `xml:"Type,attr"`
			Target string `xml:"Target,attr"`
		}
	}
	if err := xml.Unmarshal(data, &rels); err != nil {
		return "", fault(FaultFormat, rootRelations, err.Error(), mendExport)
	}
	for _, r := range rels.Relationship {
		if r.Type == go3mf.RelType3DModel {
			return partName(r.Target), nil
		}
	}
	return "", fault(FaultFormat, rootRelations, "the package names no 3D model", mendExport)
}

// model decodes a model file.
func (p *pack) model(name string) (model *go3mf.Model, err error) {
	data, err := p.unpack(name)
	if err != nil {
		return nil, err
	}
	defer func() { // the decoder trusts that elements are nested well
		if recover() != nil {
			err = fault(FaultFormat, name, "the XML is not well formed", mendExport)
		}
	}()
	model = &go3mf.Model{}
	if err := go3mf.UnmarshalModel(data, model); err != nil {
		return model, grave(name, err)
	}
	return model, nil
}

// needed are the attributes without which the geometry is not what was meant.
// Faults in others (colours, and what programs add without a namespace) don't
// matter here.
var needed = map[string]bool{
	"unit": true, "objectid": true, "id": true, "transform": true, "type": true,
	"x": true, "y": true, "z": true, "v1": true, "v2": true, "v3": true,
}

// grave returns the first of the decoder's complaints that touches the shape.
func grave(name string, err error) error {
	list := []error{err}
	if l, ok := err.(*specerr.List); ok {
		list = l.Errors
	}
	for _, err := range list {
		attr := attribute(err)
		if attr == "" {
			return fault(FaultFormat, name, "the XML can't be read: "+err.Error(), mendExport)
		}
		if needed[attr] {
			return fault(FaultNumber, name, "can't be read: "+err.Error(), mendExport)
		}
	}
	return nil
}

// attribute returns the name of the attribute that err complains about.
func attribute(err error) string {
	var p *specerr.ParseAttrError
	if errors.As(err, &p) {
		return p.Name
	}
	return ""
}
