package job

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"conewright/geom/mesh"
	"conewright/geom/message"

	"gonum.org/v1/gonum/spatial/r3"
)

// PartZones is one of several parts that are printed one after the other, with
// its own zones.
type PartZones struct {
	Name  string `json:"name"`
	Part  Part   `json:"part"`
	Zones *Zone  `json:"zones"`
}

// maxParts bounds how many parts a job prints.
const maxParts = 64

// completeParts completes the setup of each part as if it stood alone, and checks
// what they have in common. Part and Zones then show the first one's.
func (s *Setup) completeParts() error {
	if s.Part.File != "" || s.Zones != nil {
		return wrong("parts", "keep one of the two", "both parts and a part with zones")
	}
	if err := s.checkPartNames(); err != nil {
		return err
	}
	for i := range s.Parts {
		p := &s.Parts[i]
		if p.Zones == nil {
			p.Zones = &Zone{Name: p.Name, Field: s.defaultField()}
		}
		one, err := s.only(i).complete(s.dir)
		if err != nil {
			return inPart(err, partAt(i))
		}
		p.Part, p.Zones = one.Part, one.Zones
	}
	s.Planner.Foot = 0
	s.showFirst()
	return s.checkZoneNames()
}

// partAt names the i-th of several parts in an error.
func partAt(i int) string { return fmt.Sprintf("parts[%d]", i) }

// showFirst lets Part and Zones show the first of several parts.
func (s *Setup) showFirst() {
	if len(s.Parts) > 0 {
		s.Part, s.Zones = s.Parts[0].Part, s.Parts[0].Zones
	}
}

// checkPartNames checks how many parts there are and what they are called.
func (s *Setup) checkPartNames() error {
	if len(s.Parts) > maxParts {
		return wrong("parts", "divide them among several jobs", "%d parts are more than %d", len(s.Parts), maxParts)
	}
	names := map[string]bool{}
	for i := range s.Parts {
		name := s.Parts[i].Name
		if !zoneName.MatchString(name) || names[name] {
			return wrong(partAt(i)+".name", "give each part a name of its own, of letters, digits, - and _", "%q can't name a part", name)
		}
		names[name] = true
	}
	return nil
}

// checkZoneNames refuses zones of one name in several parts.
func (s *Setup) checkZoneNames() error {
	zones := map[string]bool{}
	for i := range s.Parts {
		for _, leaf := range s.Parts[i].Zones.Leaves() {
			key := strings.ToLower(leaf.Name)
			if zones[key] {
				return wrong(partAt(i)+".zones", "give each zone its own name (capitals don't tell files apart everywhere)", "two zones are named %q", leaf.Name)
			}
			zones[key] = true
		}
	}
	return nil
}

// checkParts is Check for several parts.
func (s *Setup) checkParts() error {
	if err := s.checkPartNames(); err != nil {
		return err
	}
	for i, one := range s.Single() {
		if err := one.Check(); err != nil {
			return inPart(err, partAt(i))
		}
	}
	return s.checkZoneNames()
}

// only returns the setup of one of several parts, as if it stood alone.
func (s *Setup) only(i int) Setup {
	one := *s
	one.Parts, one.Part, one.Zones = nil, s.Parts[i].Part, s.Parts[i].Zones
	if one.Part.Unit == "" {
		one.Part.Unit = "mm"
	}
	return one
}

// Single returns a setup for each part, in printing order: the setup itself where
// there is one.
func (s *Setup) Single() []*Setup {
	if len(s.Parts) == 0 {
		return []*Setup{s}
	}
	list := make([]*Setup, len(s.Parts))
	for i := range s.Parts {
		one := s.only(i)
		list[i] = &one
	}
	return list
}

// Leaves returns the zones of all parts in printing order.
func (s *Setup) Leaves() (all []*Zone) {
	for _, one := range s.Single() {
		all = append(all, one.Zones.Leaves()...)
	}
	return all
}

// MarshalJSON writes parts in place of part and zones where there are several.
func (s *Setup) MarshalJSON() ([]byte, error) {
	type plain Setup
	if len(s.Parts) == 0 {
		return json.Marshal((*plain)(s))
	}
	return json.Marshal(struct {
		*plain
		Part  *struct{} `json:"part,omitempty"`
		Zones *struct{} `json:"zones,omitempty"`
	}{plain: (*plain)(s)})
}

// readParts reads several parts, each of which keeps its own model, and joins
// them. Where parts stand in one another it returns the model beside the error, so
// that the parts can be shown and moved apart.
func readParts(ctx context.Context, s *Setup) (*Model, error) {
	all := &Model{}
	for _, one := range s.Single() {
		m, err := ReadModel(ctx, one)
		if err != nil {
			return nil, err
		}
		all.parts = append(all.parts, m)
		all.join(m)
	}
	all.Source = all.parts[0].Source
	all.Mesh = joinedMesh(all.parts)
	box := all.Mesh.Bounds()
	all.Size = r3.Sub(box.Max, box.Min)
	return all, s.checkApart(all)
}

// checkApart refuses a model of several parts that stand in one another.
func (s *Setup) checkApart(m *Model) error {
	for k := range m.parts {
		for i := range k {
			if err := apart(s, i, k, m.parts[i].Mesh.Bounds(), m.parts[k].Mesh.Bounds()); err != nil {
				return err
			}
		}
	}
	return nil
}

// Parts returns the model of each part alone, in printing order: the model itself
// where there is one part.
func (m *Model) Parts() []*Model {
	if len(m.parts) == 0 {
		return []*Model{m}
	}
	return m.parts
}

// joinedMesh puts the meshes of parts into one.
func joinedMesh(parts []*Model) *mesh.Mesh {
	all := &mesh.Mesh{}
	for _, m := range parts {
		first := int32(len(all.Vertices))
		all.Vertices = append(all.Vertices, m.Mesh.Vertices...)
		for _, f := range m.Mesh.Facets {
			all.Facets = append(all.Facets, [3]int32{f[0] + first, f[1] + first, f[2] + first})
		}
	}
	return all
}

// join adds up what is told of the meshes as the files have them.
func (m *Model) join(one *Model) {
	m.Health.OpenEdges += one.Health.OpenEdges
	m.Health.NonManifoldEdges += one.Health.NonManifoldEdges
	m.Health.Flipped += one.Health.Flipped
	m.Health.Bodies += one.Health.Bodies
	m.Health.Degenerate += one.Health.Degenerate
	m.Health.Doubled += one.Health.Doubled
}

// sources names the files of all parts.
func (m *Model) sources() (list []FileLog) {
	if len(m.parts) == 0 {
		return []FileLog{m.Source}
	}
	for _, one := range m.parts {
		list = append(list, one.Source)
	}
	return list
}

// apart refuses parts that stand in one another.
func apart(s *Setup, i, k int, a, b r3.Box) error {
	if !meet(a, b) {
		return nil
	}
	return wrong(partAt(k)+".part.seat", "give each part a seat of its own, as far apart as the head needs",
		"part %s stands where part %s does, at x %.1f to %.1f, y %.1f to %.1f", s.Parts[k].Name, s.Parts[i].Name,
		max(a.Min.X, b.Min.X), min(a.Max.X, b.Max.X), max(a.Min.Y, b.Min.Y), min(a.Max.Y, b.Max.Y))
}

// divideParts cuts each of several parts into its zones.
func divideParts(ctx context.Context, s *Setup, m *Model) (all []*Region, err error) {
	for i, one := range s.Single() {
		regions, err := Divide(ctx, one, m.parts[i])
		if err != nil {
			return nil, inPart(err, partAt(i))
		}
		for _, g := range regions {
			g.Part = s.Parts[i].Name
		}
		all = append(all, regions...)
	}
	return all, nil
}

// inPart says of an error in which part it is.
func inPart(err error, at string) error {
	var in *InputError
	if errors.As(err, &in) {
		in.Where = message.Join(".", message.Name(at), in.Where)
	}
	return err
}
