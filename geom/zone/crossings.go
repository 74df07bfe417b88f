package zone

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// Crossings returns where the segment from p to q, seen in plan, enters or
// leaves the area of the base or changes from one of its planes to another:
// parameters in (0, 1) from p to q, ascending. A zone that stands flat on the
// bed has none. A segment along an outline doesn't cross it.
func (b *Base) Crossings(p, q r2.Vec) []float64 {
	return b.AppendCrossings(nil, p, q)
}

// AppendCrossings is Crossings that appends to dst, so that callers in a loop
// needn't allocate.
func (b *Base) AppendCrossings(dst []float64, p, q r2.Vec) []float64 {
	if len(b.edges) == 0 {
		return dst
	}
	n := len(dst)
	d := r2.Sub(q, p)
	b.grid.cover([]r2.Vec{p, q}, func(cell int) {
		for _, k := range b.inCell.of(cell) {
			if t, ok := meet(p, d, &b.edges[k]); ok {
				dst = append(dst, t)
			}
		}
	})
	if len(dst) == n {
		return dst
	}
	// An edge in several cells, or two edges in their common corner, are one
	// crossing.
	found := dst[n:]
	slices.Sort(found)
	near := planTol / r2.Norm(d)
	found = slices.CompactFunc(found, func(s, t float64) bool { return math.Abs(t-s) <= near })
	return dst[:n+len(found)]
}

// meet returns t in (0, 1) where p + t d meets the edge.
func meet(p, d r2.Vec, e *baseEdge) (t float64, ok bool) {
	along := r2.Sub(e.b, e.a)
	det := r2.Cross(d, along)
	if det == 0 {
		return 0, false
	}
	from := r2.Sub(e.a, p)
	t = r2.Cross(from, along) / det
	s := r2.Cross(from, d) / det
	const slack = 1e-9 // of the edge: none is lost between two edges of an outline
	return t, t > 0 && t < 1 && s >= -slack && s <= 1+slack
}
