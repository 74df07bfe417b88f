package mesh

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// soup gathers facets from a reader, checks them and welds exactly.
type soup struct {
	opt    ReadOptions
	unit   float64
	welder *welder
	facets [][3]int32
	err    *ReadError // the first fault
}

func newSoup(opt ReadOptions) *soup {
	return &soup{opt: opt, unit: opt.Unit, welder: newWelder(0)}
}

// expect makes room for n facets; n has been checked against the file's size.
func (s *soup) expect(n int) {
	s.facets = make([][3]int32, 0, n)
	s.welder = newWelder(n/2 + 2) // Euler: a closed mesh has about half as many vertices
}

// add takes a facet in the file's unit. After a fault it does nothing.
func (s *soup) add(a, b, c r3.Vec) {
	if s.err != nil {
		return
	}
	if len(s.facets) >= s.opt.MaxFacets {
		s.err = tooManyFacets(s.opt.MaxFacets)
		return
	}
	var f [3]int32
	for i, v := range [3]r3.Vec{a, b, c} {
		v = r3.Vec{X: v.X * s.unit, Y: v.Y * s.unit, Z: v.Z * s.unit}
		if !plausible(v) {
			s.err = badCoordinate(fmt.Sprintf("facet %d", len(s.facets)+1), v)
			return
		}
		f[i] = s.welder.index(v)
	}
	s.facets = append(s.facets, f)
}

// plausible reports that v is finite and not absurdly far away.
func plausible(v r3.Vec) bool {
	return math.Abs(v.X) <= maxCoordinate && math.Abs(v.Y) <= maxCoordinate && math.Abs(v.Z) <= maxCoordinate
}

func badCoordinate(where string, v r3.Vec) *ReadError {
	what := fmt.Sprintf("a coordinate is farther than %g m from the origin", maxCoordinate/1000)
	for _, x := range [3]float64{v.X, v.Y, v.Z} {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			what = "a coordinate is not a finite number"
		}
	}
	return fault(FaultNumber, where, what, "repair the part where it was drawn, check its unit, and export it again")
}

func (s *soup) mesh() (*Mesh, error) {
	if s.err != nil {
		return nil, s.err
	}
	if len(s.facets) == 0 {
		return nil, fault(FaultEmpty, "", "the file holds no facets", "export the part as a mesh of triangles")
	}
	return &Mesh{Vertices: s.welder.vertices, Facets: s.facets}, nil
}
