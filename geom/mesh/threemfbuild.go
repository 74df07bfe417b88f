package mesh

import (
	"fmt"
	"math"

	"github.com/hpinc/go3mf"
	"github.com/hpinc/go3mf/spec"
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
	models map[string]*go3mf.Model
	placed int
}

// place adds every item of the root model. Objects that only support others
// are left out: how to print is decided here.
func (b *build) place(root string) error {
	model, err := b.model(root)
	if err != nil {
		return err
	}
	if len(model.Build.Items) == 0 {
		return fault(FaultEmpty, root, "the build holds no items", "place the part on the plate before exporting it")
	}
	b.unit = unitOf(model)
	for _, item := range model.Build.Items {
		at := target(item.AnyAttr, root)
		if err := b.object(at, item.ObjectID, matrixOf(item.Transform), 0); err != nil {
			return err
		}
	}
	return nil
}

func unitOf(m *go3mf.Model) float64 {
	switch m.Units {
	case go3mf.UnitMicrometer:
		return 0.001
	case go3mf.UnitCentimeter:
		return 10
	case go3mf.UnitInch:
		return 25.4
	case go3mf.UnitFoot:
		return 304.8
	case go3mf.UnitMeter:
		return 1000
	}
	return 1
}

func (b *build) model(name string) (*go3mf.Model, error) {
	if m := b.models[name]; m != nil {
		return m, nil
	}
	if len(b.models) >= max3MFModels {
		return nil, fault(FaultSize, name, fmt.Sprintf("the package refers to more than %d model files", max3MFModels), mendExport)
	}
	m, err := b.pkg.model(name)
	if err != nil {
		return nil, err
	}
	b.models[name] = m
	return m, nil
}

// target returns the model file that an item or component refers to.
func target(attrs spec.AnyAttr, here string) string {
	for _, group := range attrs {
		if u, ok := group.(*spec.UnknownAttrs); ok && u.Space == productionSpace {
			for _, a := range u.Attr {
				if a.Name.Local == "path" && a.Value != "" {
					return partName(a.Value)
				}
			}
		}
	}
	return here
}

// object adds an object of a model file, seen through t.
func (b *build) object(file string, id uint32, t matrix, depth int) error {
	where := fmt.Sprintf("%s, object %d", file, id)
	if depth > max3MFNesting {
		return fault(FaultIndex, where, fmt.Sprintf("components are nested more than %d deep, or contain themselves", max3MFNesting), mendExport)
	}
	if b.placed++; b.placed > max3MFPlaced {
		return fault(FaultSize, where, fmt.Sprintf("more than %d components", max3MFPlaced), mendExport)
	}
	model, err := b.model(file)
	if err != nil {
		return err
	}
	o, ok := model.Resources.FindObject(id)
	if !ok {
		return fault(FaultIndex, where, "is referred to but isn't in the file", mendExport)
	}
	if o.Type != go3mf.ObjectTypeModel && o.Type != go3mf.ObjectTypeSurface {
		return nil
	}
	if o.Mesh != nil {
		return b.mesh(where, o.Mesh, t)
	}
	if o.Components == nil {
		return nil
	}
	for _, c := range o.Components.Component {
		at := target(c.AnyAttr, file)
		if err := b.object(at, c.ObjectID, matrixOf(c.Transform).then(t), depth+1); err != nil {
			return err
		}
	}
	return nil
}

func (b *build) mesh(where string, m *go3mf.Mesh, t matrix) error {
	mirrored := t.determinant() < 0 // a mirrored mesh is inside out: turn it back
	corner := func(i uint32) r3.Vec {
		v := m.Vertices.Vertex[i]
		return t.apply(r3.Vec{X: float64(v[0]), Y: float64(v[1]), Z: float64(v[2])})
	}
	n := uint32(len(m.Vertices.Vertex))
	for i, f := range m.Triangles.Triangle {
		if f.V1 >= n || f.V2 >= n || f.V3 >= n {
			return fault(FaultIndex, fmt.Sprintf("%s, facet %d", where, i+1),
				fmt.Sprintf("refers to a vertex beyond the %d that there are", n), mendExport)
		}
		if mirrored {
			f.V2, f.V3 = f.V3, f.V2
		}
		if b.add(corner(f.V1), corner(f.V2), corner(f.V3)); b.err != nil {
			if b.err.Fault == FaultNumber {
				b.err.Where = fmt.Sprintf("%s, facet %d", where, i+1)
			}
			return b.err
		}
	}
	return nil
}

// matrix is an affine map of row vectors: p' = p M + d, rows 0..2 are M and
// row 3 is d (3MF Core Specification 1.3, section 3.3).
type matrix [4][3]float64

func matrixOf(m go3mf.Matrix) matrix {
	if m == (go3mf.Matrix{}) { // none given
		return matrix{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}
	}
	var t matrix
	for i := range t {
		for j := range t[i] {
			t[i][j] = float64(m[4*i+j])
		}
	}
	return t
}

func (t matrix) row(i int) r3.Vec { return r3.Vec{X: t[i][0], Y: t[i][1], Z: t[i][2]} }

// linear returns v M.
func (t matrix) linear(v r3.Vec) r3.Vec {
	return r3.Add(r3.Add(r3.Scale(v.X, t.row(0)), r3.Scale(v.Y, t.row(1))), r3.Scale(v.Z, t.row(2)))
}

func (t matrix) apply(v r3.Vec) r3.Vec { return r3.Add(t.linear(v), t.row(3)) }

// then returns the map that does t first, u second.
func (t matrix) then(u matrix) matrix {
	var out matrix
	for i := range out {
		v := u.linear(t.row(i))
		if i == 3 {
			v = u.apply(t.row(i))
		}
		out[i] = [3]float64{v.X, v.Y, v.Z}
	}
	return out
}

func (t matrix) determinant() float64 {
	d := r3.Dot(t.row(0), r3.Cross(t.row(1), t.row(2)))
	if math.IsNaN(d) { // its vertices will be refused
		return 0
	}
	return d
}
