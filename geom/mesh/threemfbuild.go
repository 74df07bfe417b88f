package mesh

import (
	"io"

	"conewright/geom/message"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// Components may contain components; a cycle, or a tree that doubles at
	// every level, ends at these.
	max3MFNesting = 32
	max3MFPlaced  = 20_000

	// productionSpace names the extension by which an object may lie in
	// another model file (3MF Production Extension 1.1).
	productionSpace = "http://schemas.microsoft.com/3dmanufacturing/production/2015/06"
)

// build walks the build items and their components.
type build struct {
	*soup
	pkg    *pack
	left   int // things that models may still hold
	models map[string]*model3MF
	placed int
}

// place adds every item of the root model. Objects that only support others
// are left out: how to print is decided here.
func (b *build) place(root string) error {
	model, err := b.model(root)
	if err != nil {
		return err
	}
	if len(model.items) == 0 {
		return fault(FaultEmpty, message.Name(root), message.New("the build holds no items"), "place the part on the plate before exporting it")
	}
	b.unit = model.unit
	for _, item := range model.items {
		if err := b.object(item.file, item.object, item.at, 0); err != nil {
			return err
		}
	}
	return nil
}

func (b *build) model(name string) (*model3MF, error) {
	if m := b.models[name]; m != nil {
		return m, nil
	}
	if len(b.models) >= max3MFModels {
		return nil, fault(FaultSize, message.Name(name), message.New("the package refers to more than %d model files", max3MFModels), mendExport)
	}
	m := &model3MF{name: name, unit: 1, objects: map[uint32]*object3MF{}, left: &b.left}
	if err := b.pkg.unpack(name, func(src io.Reader) error { return m.read(src) }); err != nil {
		return nil, err
	}
	b.models[name] = m
	return m, nil
}

// object adds an object of a model file, seen through t.
func (b *build) object(file string, id uint32, t matrix, depth int) error {
	where := message.Join(", ", message.Name(file), message.New("object %d", id))
	if depth > max3MFNesting {
		return fault(FaultIndex, where, message.New("components are nested more than %d deep, or contain themselves", max3MFNesting), mendExport)
	}
	if b.placed++; b.placed > max3MFPlaced {
		return fault(FaultSize, where, message.New("more than %d components", max3MFPlaced), mendExport)
	}
	model, err := b.model(file)
	if err != nil {
		return err
	}
	o := model.objects[id]
	if o == nil {
		return fault(FaultIndex, where, message.New("is referred to but isn't in the file"), mendExport)
	}
	if !o.printed {
		return nil
	}
	if o.meshed {
		return b.mesh(where, o, t)
	}
	for _, c := range o.components {
		if err := b.object(c.file, c.object, c.at.then(t), depth+1); err != nil {
			return err
		}
	}
	return nil
}

func (b *build) mesh(where message.Text, o *object3MF, t matrix) error {
	mirrored := t.determinant() < 0 // a mirrored mesh is inside out: turn it back
	corner := func(i uint32) r3.Vec {
		v := o.vertices[i]
		return t.apply(r3.Vec{X: float64(v[0]), Y: float64(v[1]), Z: float64(v[2])})
	}
	n := uint32(len(o.vertices))
	for i, f := range o.facets {
		if f[0] >= n || f[1] >= n || f[2] >= n {
			return fault(FaultIndex, message.Join(", ", where, message.New("facet %d", i+1)),
				message.New("refers to a vertex beyond the %d that there are", n), mendExport)
		}
		if mirrored {
			f[1], f[2] = f[2], f[1]
		}
		if b.add(corner(f[0]), corner(f[1]), corner(f[2])); b.err != nil {
			if r, ok := b.err.(*ReadError); ok && r.Fault == FaultNumber {
				r.Where = message.Join(", ", where, message.New("facet %d", i+1))
			}
			return b.err
		}
	}
	return nil
}
