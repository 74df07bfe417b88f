package mesh

import (
	"errors"
	"io"
	"strconv"

	"conewright/geom/message"
)

const coreSpace = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"

// model3MF is what one model file holds of shape: objects and what the build
// places (3MF Core Specification 1.3, chapters 3 and 4).
type model3MF struct {
	name    string
	unit    float64 // mm
	objects map[uint32]*object3MF
	items   []placed3MF
	left    *int // vertices, facets, objects and references that may still come

	inside []element // open elements that are known
	deep   int       // open elements within one that isn't known
	object *object3MF
}

// object3MF is a mesh, or a group of other objects.
type object3MF struct {
	printed    bool // and doesn't only support others
	meshed     bool
	vertices   [][3]float32
	facets     [][3]uint32
	components []placed3MF
}

// placed3MF is a reference to an object, and where it goes.
type placed3MF struct {
	file   string
	object uint32
	at     matrix
}

// element is an element of a model file that holds shape.
type element uint8

const (
	elementNone element = iota
	elementModel
	elementResources
	elementObject
	elementMesh
	elementVertices
	elementVertex
	elementTriangles
	elementTriangle
	elementComponents
	elementComponent
	elementBuild
	elementItem
)

// elementWithin tells which elements hold which.
var elementWithin = map[element]map[string]element{
	elementNone:       {"model": elementModel},
	elementModel:      {"resources": elementResources, "build": elementBuild},
	elementResources:  {"object": elementObject},
	elementObject:     {"mesh": elementMesh, "components": elementComponents},
	elementMesh:       {"vertices": elementVertices, "triangles": elementTriangles},
	elementVertices:   {"vertex": elementVertex},
	elementTriangles:  {"triangle": elementTriangle},
	elementComponents: {"component": elementComponent},
	elementBuild:      {"item": elementItem},
}

// units of a model, mm. None given means millimetres.
var units3MF = map[string]float64{"": 1, "millimeter": 1, "micron": 0.001, "centimeter": 10, "inch": 25.4, "foot": 304.8, "meter": 1000}

// types of objects that are printed; "" is the default.
var printed3MF = map[string]bool{"": true, "model": true, "surface": true}

func (m *model3MF) read(src io.Reader) error {
	t := newTagReader(src)
	for {
		begins, open, err := t.next()
		switch {
		case err == io.EOF:
			return nil
		case err != nil:
			return err
		case !begins && m.deep > 0:
			m.deep--
		case !begins:
			m.inside = m.inside[:len(m.inside)-1]
		default:
			if err := m.begin(t, open); err != nil {
				return err
			}
		}
	}
}

// begin notes an element. What lies within an unknown one isn't looked at.
func (m *model3MF) begin(t *tagReader, open bool) error {
	kind := elementNone
	if m.deep == 0 && t.space == coreSpace {
		var parent element
		if n := len(m.inside); n > 0 {
			parent = m.inside[n-1]
		}
		kind = elementWithin[parent][string(t.name)]
	}
	if kind == elementNone {
		if open {
			m.deep++
		}
		return nil
	}
	if open {
		m.inside = append(m.inside, kind)
	}
	if *m.left--; *m.left < 0 {
		return fault(FaultSize, message.Name(m.name), message.New("the package unpacks to more than the limit"), mendLimit)
	}
	return m.take(t, kind)
}

func (m *model3MF) take(t *tagReader, kind element) error {
	switch kind {
	case elementModel:
		unit, ok := units3MF[t.attr("unit")]
		if !ok {
			return m.broken("unit")
		}
		m.unit = unit
	case elementObject:
		id, err := strconv.ParseUint(t.attr("id"), 10, 32)
		if err != nil {
			return m.broken("id")
		}
		m.object = &object3MF{printed: printed3MF[t.attr("type")]}
		if m.objects[uint32(id)] == nil {
			m.objects[uint32(id)] = m.object
		}
		return m.few(nil, len(m.objects))
	case elementMesh:
		m.object.meshed = true
	case elementVertex:
		return m.vertex(t)
	case elementTriangle:
		return m.triangle(t)
	case elementComponent:
		p, err := m.placed(t)
		m.object.components = append(m.object.components, p)
		return m.few(err, len(m.object.components))
	case elementItem:
		p, err := m.placed(t)
		m.items = append(m.items, p)
		return m.few(err, len(m.items))
	}
	return nil
}

// few refuses more objects, or references to them, than are ever placed.
func (m *model3MF) few(err error, n int) error {
	if err == nil && n > max3MFPlaced {
		err = fault(FaultSize, message.Name(m.name), message.New("more than %d components", max3MFPlaced), mendExport)
	}
	return err
}

func (m *model3MF) broken(attribute string) error {
	quoted := "'" + attribute + "'"
	return fault(FaultNumber, message.Name(m.name), message.New("can't be read: %s", quoted), mendExport)
}

func (m *model3MF) vertex(t *tagReader) error {
	var v [3]float32
	for _, a := range t.attrs {
		if len(a.prefix) > 0 || len(a.name) != 1 || a.name[0] < 'x' || a.name[0] > 'z' {
			continue
		}
		x, err := strconv.ParseFloat(string(a.value), 32)
		if err != nil && !errors.Is(err, strconv.ErrRange) { // out of range: not finite, as the facet says
			return m.broken(string(a.name))
		}
		v[a.name[0]-'x'] = float32(x)
	}
	m.object.vertices = append(m.object.vertices, v)
	return nil
}

func (m *model3MF) triangle(t *tagReader) error {
	var f [3]uint32
	for _, a := range t.attrs {
		if len(a.prefix) > 0 || len(a.name) != 2 || a.name[0] != 'v' || a.name[1] < '1' || a.name[1] > '3' {
			continue
		}
		i, err := strconv.ParseUint(string(a.value), 10, 32)
		if err != nil {
			return m.broken(string(a.name))
		}
		f[a.name[1]-'1'] = uint32(i)
	}
	m.object.facets = append(m.object.facets, f)
	return nil
}

// placed reads an item or a component. An object may lie in another model file.
func (m *model3MF) placed(t *tagReader) (placed3MF, error) {
	p := placed3MF{file: m.name, at: unmoved}
	id, err := strconv.ParseUint(t.attr("objectid"), 10, 32)
	if err != nil {
		return p, m.broken("objectid")
	}
	p.object = uint32(id)
	for _, a := range t.attrs {
		switch {
		case len(a.prefix) == 0 && string(a.name) == "transform":
			var ok bool
			if p.at, ok = parseMatrix(a.text()); !ok {
				return p, m.broken("transform")
			}
		case string(a.name) == "path" && len(a.prefix) > 0 && t.spaceOf(a.prefix) == productionSpace && len(a.value) > 0:
			p.file = partName(a.text())
		}
	}
	return p, nil
}
