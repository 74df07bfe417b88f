package suggest

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/mesh"
	"conewright/geom/zone"
)

// body is a connected piece of the surface within a slab.
type body struct {
	facets []int32
	points []r2.Vec // corners, in plan
}

// bodies returns the connected pieces of the surface between two heights, in
// the order of their first facets.
func (s *survey) bodies(low, high float64) []*body {
	var within []int32
	for i := range s.mesh.Facets {
		a, b, c := s.mesh.Corners(i)
		if max(a.Z, b.Z, c.Z) <= low+onCut || min(a.Z, b.Z, c.Z) >= high-onCut {
			continue
		}
		within = append(within, int32(i))
	}
	of, count := s.mesh.BodiesWithin(within)
	out := make([]*body, count)
	for k, i := range within {
		b := out[of[k]]
		if b == nil {
			b = &body{}
			out[of[k]] = b
		}
		b.facets = append(b.facets, i)
		for _, v := range s.mesh.Facets[i] {
			p := s.mesh.Vertices[v]
			b.points = append(b.points, r2.Vec{X: p.X, Y: p.Y})
		}
	}
	return out
}

// part parts bodies by the upright plane in the widest gap, and what is on
// either side again. Where no plane goes between, it returns a leaf.
func part(bodies []*body) *tower {
	if len(bodies) < 2 {
		return &tower{bodies: bodies, ranked: new([]ranked)}
	}
	type span struct {
		lo, hi float64
		body   *body
	}
	gap, at, along := leastGap, 0.0, r2.Vec{}
	for k := range cutAzimuths {
		sin, cos := math.Sincos(float64(k) * math.Pi / cutAzimuths)
		dir := r2.Vec{X: cos, Y: sin}
		var spans []span
		for _, b := range bodies {
			p := span{math.Inf(1), math.Inf(-1), b}
			for _, q := range b.points {
				d := r2.Dot(dir, q)
				p.lo, p.hi = math.Min(p.lo, d), math.Max(p.hi, d)
			}
			spans = append(spans, p)
		}
		slices.SortStableFunc(spans, func(a, b span) int {
			if a.lo < b.lo {
				return -1
			}
			return 1
		})
		end := spans[0].hi
		for _, p := range spans[1:] {
			if p.lo-end > gap+1e-6 {
				gap, at, along = p.lo-end, (p.lo+end)/2, dir
			}
			end = math.Max(end, p.hi)
		}
	}
	if along == (r2.Vec{}) {
		return &tower{bodies: bodies, ranked: new([]ranked)}
	}
	cut := &zone.Plane{
		Point:  r3.Vec{X: tidy(at * along.X), Y: tidy(at * along.Y)},
		Normal: r3.Vec{X: tidy(along.X), Y: tidy(along.Y)},
	}
	var under, over []*body
	for _, b := range bodies {
		if r2.Dot(along, b.points[0]) < at {
			under = append(under, b)
		} else {
			over = append(over, b)
		}
	}
	return &tower{cut: cut, under: part(under), over: part(over)}
}

// inBodies tells whether a place of the surface belongs to bodies in a slab: by
// their boxes, which upright cuts have parted well enough.
func (s *search) inBodies(bodies []*body, from, to int) func(p r3.Vec) bool {
	low, high := s.heights[from], s.heights[to]
	top := to == len(s.heights)-1
	boxes := make([]r2.Box, len(bodies))
	for i, b := range bodies {
		boxes[i] = r2.Box{Min: b.points[0], Max: b.points[0]}
		for _, p := range b.points {
			boxes[i].Min = r2.Vec{X: math.Min(boxes[i].Min.X, p.X), Y: math.Min(boxes[i].Min.Y, p.Y)}
			boxes[i].Max = r2.Vec{X: math.Max(boxes[i].Max.X, p.X), Y: math.Max(boxes[i].Max.Y, p.Y)}
		}
	}
	return func(p r3.Vec) bool {
		if p.Z < low || p.Z >= high && !top {
			return false
		}
		return slices.ContainsFunc(boxes, func(b r2.Box) bool {
			return p.X >= b.Min.X && p.X <= b.Max.X && p.Y >= b.Min.Y && p.Y <= b.Max.Y
		})
	}
}

// only returns the survey of some bodies alone, which stand on a cut at low.
// What borders on the rest is open there.
func (s *survey) only(bodies []*body, low float64) *survey {
	m := &mesh.Mesh{}
	index := map[int32]int32{}
	var bed []bool
	for _, b := range bodies {
		for _, i := range b.facets {
			var t [3]int32
			for k, v := range s.mesh.Facets[i] {
				u, ok := index[v]
				if !ok {
					u = int32(len(m.Vertices))
					index[v] = u
					m.Vertices = append(m.Vertices, s.mesh.Vertices[v])
					bed = append(bed, s.bed[v] || s.mesh.Vertices[v].Z <= low+onCut)
				}
				t[k] = u
			}
			m.Facets = append(m.Facets, t)
		}
	}
	own := newSurvey(m, s.limitDeg, s.steepest, s.layer)
	own.bed = bed
	return own
}
