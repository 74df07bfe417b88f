package zone

import (
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// mend makes the boundary of tris the loops of p, edge for edge, and turns the
// facets of a turned polygon. Ear clipping leaves out vertices in a straight
// line; the triangle along that line is fanned out over them.
func (f *filler) mend(p *polygon, tris [][3]int32) [][3]int32 {
	sides := newSides(tris)
	for _, gap := range f.gaps(p, tris) {
		if at := f.longest(gap); !sides.fan(gap, at) {
			// Not along one triangle: close it by itself. It has hardly any
			// area, for the triangles fill the loops but for rounding.
			for i := 1; i+1 < len(gap); i++ {
				sides.add([3]int32{gap[0], gap[i], gap[i+1]})
			}
		}
	}
	if p.turned {
		for i, t := range sides.tris {
			sides.tris[i] = [3]int32{t[0], t[2], t[1]}
		}
	}
	return sides.tris
}

// gaps returns the loops of edges that tris lack, in the direction that more
// triangles would have to have.
func (f *filler) gaps(p *polygon, tris [][3]int32) [][]int32 {
	var edges [][2]int32
	for _, loop := range append([][]int32{p.outline}, p.holes...) {
		for i, v := range loop {
			edges = append(edges, [2]int32{v, loop[(i+1)%len(loop)]})
		}
	}
	for _, t := range tris {
		for j := range 3 {
			edges = append(edges, [2]int32{t[(j+1)%3], t[j]})
		}
	}
	return traceLoops(unpaired(edges), func(v int32) (x, y float64) { return f.at[v].X, f.at[v].Y })
}

// longest returns the k for which the edge gap[k], gap[k+1] is longest.
func (f *filler) longest(gap []int32) int {
	at, most := 0, -1.0
	for k, v := range gap {
		if d := r2.Norm2(r2.Sub(f.at[gap[(k+1)%len(gap)]], f.at[v])); d > most {
			at, most = k, d
		}
	}
	return at
}

// sides knows which triangle has a directed edge.
type sides struct {
	tris [][3]int32
	of   map[[2]int32]int
}

func newSides(tris [][3]int32) *sides {
	s := &sides{of: make(map[[2]int32]int, 3*len(tris))}
	for _, t := range tris {
		s.add(t)
	}
	return s
}

func (s *sides) add(t [3]int32) {
	s.tris = append(s.tris, t)
	s.note(len(s.tris) - 1)
}

func (s *sides) note(i int) {
	t := s.tris[i]
	for j := range 3 {
		s.of[[2]int32{t[j], t[(j+1)%3]}] = i
	}
}

// fan replaces the triangle whose edge answers gap's edge from gap[k] to
// gap[k+1] by a fan over the gap's other vertices. It reports false where no
// triangle has that edge, or has its tip among them.
func (s *sides) fan(gap []int32, k int) bool {
	from, to := gap[k], gap[(k+1)%len(gap)]
	i, ok := s.of[[2]int32{to, from}]
	if !ok {
		return false
	}
	tip := int32(-1)
	for _, v := range s.tris[i] {
		if v != from && v != to {
			tip = v
		}
	}
	if slices.Contains(gap, tip) {
		return false
	}
	delete(s.of, [2]int32{to, from})
	n := len(gap)
	for j := 1; j < n; j++ { // to = gap[k+1], gap[k+2], ..., gap[k+n] = from
		t := [3]int32{gap[(k+j)%n], gap[(k+j+1)%n], tip}
		if j == 1 {
			s.tris[i] = t
			s.note(i)
		} else {
			s.add(t)
		}
	}
	return true
}
