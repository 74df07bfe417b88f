package mesh

import (
	"context"
	"math"

	"conewright/geom/message"

	"gonum.org/v1/gonum/spatial/r3"
)

// soup gathers facets from a reader, checks them and welds exactly.
type soup struct {
	ctx    context.Context
	opt    ReadOptions
	unit   float64
	welder *welder
	facets [][3]int32
	empty  int   // facets of which two corners are at one place
	err    error // the first fault

	remarks Remarks
}

const (
	// pollFacets is how many facets are added between two looks at the context:
	// some ten milliseconds.
	pollFacets = 1 << 16

	// manyEmpty is how many facets without an area are taken before they may no
	// longer be the most: programs write some, a file of nothing else is none.
	manyEmpty = 1 << 20
)

func newSoup(ctx context.Context, opt ReadOptions) *soup {
	return &soup{ctx: ctx, opt: opt, unit: opt.Unit, welder: newWelder(0)}
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
			s.err = badCoordinate(message.New("facet %d", len(s.facets)+1), v)
			return
		}
		f[i] = s.welder.index(v)
	}
	s.facets = append(s.facets, f)
	if degenerate(f) {
		s.empty++
	}
	if len(s.facets)%pollFacets == 0 {
		s.poll()
	}
}

// poll looks at what a very large file makes worth looking at.
func (s *soup) poll() {
	if s.err == nil {
		s.err = s.ctx.Err()
	}
	if s.err == nil && s.empty > manyEmpty && s.empty > len(s.facets)/2 {
		s.err = fault(FaultCount, message.New("facet %d", len(s.facets)), message.New("most facets have no area"), mendExport)
	}
}

// plausible reports that v is finite and not absurdly far away.
func plausible(v r3.Vec) bool {
	return math.Abs(v.X) <= maxCoordinate && math.Abs(v.Y) <= maxCoordinate && math.Abs(v.Z) <= maxCoordinate
}

func badCoordinate(where message.Text, v r3.Vec) *ReadError {
	what := message.New("a coordinate is farther than %g m from the origin", maxCoordinate/1000)
	for _, x := range [3]float64{v.X, v.Y, v.Z} {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			what = message.New("a coordinate is not a finite number")
		}
	}
	return fault(FaultNumber, where, what, "repair the part where it was drawn, check its unit, and export it again")
}

// check returns the first fault, or that there is nothing.
func (s *soup) check() error {
	s.poll()
	if s.err == nil && len(s.facets) == 0 {
		s.err = fault(FaultEmpty, message.Text{}, message.New("the file holds no facets"), "export the part as a mesh of triangles")
	}
	return s.err
}
