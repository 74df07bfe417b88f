package warp

import (
	"cmp"
	"context"
	"slices"
	"sync/atomic"

	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/field"
	"conewright/geom/parallel"
)

// edgeCuts holds where the edges of a mesh are cut.
type edgeCuts struct {
	keys     []uint64  // lower vertex << 32 | higher vertex, ascending
	starts   []int32   // cuts of edge i: starts[i] up to starts[i+1]
	ts       []float64 // places along the edge, from its first end on, ascending
	vertices []r3.Vec
}

func edgeKey(i, j int32) uint64 {
	if i > j {
		i, j = j, i
	}
	return uint64(i)<<32 | uint64(j)
}

// firstEnd reports whether an edge is measured from a to b. It compares places,
// not numbers, so that edges of one place are cut alike even where a mesh isn't
// welded, and the upper and the lower edge of an upright wall too.
func firstEnd(a, b r3.Vec) bool {
	return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y), cmp.Compare(a.Z, b.Z)) <= 0
}

// along returns the lift along the edge between vertices i and j, from its
// first end on, and that end.
func (r *refinement) along(i, j int32) (line field.Line, from, to r3.Vec) {
	from, to = r.mesh.Vertices[i], r.mesh.Vertices[j]
	if !firstEnd(from, to) {
		from, to = to, from
	}
	return r.field.Along(plan(from), plan(to)), from, to
}

// cutEdges finds which edges of suspects are to be cut, and where.
func (r *refinement) cutEdges(ctx context.Context) error {
	if err := r.findCutEdges(ctx); err != nil {
		return err
	}
	keys := r.cuts.keys
	type cuts struct {
		counts   []int32
		ts       []float64
		vertices []r3.Vec
	}
	parts := make([]cuts, (len(keys)+blockLen-1)/blockLen)
	var total atomic.Int64
	err := parallel.For(ctx, len(parts), func(p int) error {
		part, buffer := &parts[p], []float64(nil)
		for _, key := range keys[p*blockLen : min((p+1)*blockLen, len(keys))] {
			line, from, to := r.along(int32(key>>32), int32(uint32(key)))
			var ok bool
			if buffer, ok = divide(&line, r.edgeTol(), r.limit/2, buffer[:0]); !ok {
				return r.tooFine()
			}
			for _, t := range buffer {
				part.vertices = append(part.vertices, r.onAxis(between(from, to, t)))
			}
			part.ts = append(part.ts, buffer...)
			part.counts = append(part.counts, int32(len(buffer)))
			if total.Add(int64(len(buffer))) > int64(r.limit/2) { // a cut makes two more facets
				return r.tooFine()
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	r.cuts.starts = make([]int32, 1, len(keys)+1)
	for _, part := range parts {
		for _, n := range part.counts {
			r.cuts.starts = append(r.cuts.starts, r.cuts.starts[len(r.cuts.starts)-1]+n)
		}
		r.cuts.ts = append(r.cuts.ts, part.ts...)
		r.cuts.vertices = append(r.cuts.vertices, part.vertices...)
	}
	return nil
}

// The share of the tolerance that facets' edges keep where the gap inside a facet is
// found by search. Beside an edge that used all of it up, pieces could never be
// small enough.
const (
	searchedEdge = 0.8
	// Where the lift bends both ways, the chord of a part of an edge strays up to
	// twice as far as the chord of the whole.
	mixedEdge = 0.49
)

// edgeTol is the greatest gap that an edge keeps.
func (r *refinement) edgeTol() float64 {
	switch {
	case r.field.InsideIsExact():
		return r.tol
	case r.field.Curvature() == field.Mixed:
		return mixedEdge * r.tol
	}
	return searchedEdge * r.tol
}

// findCutEdges lists the edges whose gap exceeds the tolerance.
func (r *refinement) findCutEdges(ctx context.Context) error {
	parts := make([][]uint64, (len(r.suspects)+spanLen-1)/spanLen)
	err := parallel.For(ctx, len(parts), func(p int) error {
		var keys []uint64
		for _, i := range r.suspects[p*spanLen : min((p+1)*spanLen, len(r.suspects))] {
			t := r.mesh.Facets[i]
			for k := range t {
				line, _, _ := r.along(t[k], t[(k+1)%3])
				if needsCut(&line, r.edgeTol()) {
					keys = append(keys, edgeKey(t[k], t[(k+1)%3]))
				}
			}
		}
		slices.Sort(keys)
		parts[p] = slices.Compact(keys)
		return nil
	})
	r.cuts.keys = mergeAll(parts)
	return err
}

func needsCut(line *field.Line, tol float64) bool {
	if line.Straight(tol) {
		return false
	}
	gap, _ := line.Gap(0, 1)
	return gap > tol
}

// mergeAll merges ascending lists into one, without doubles, pair by pair and
// in parallel.
func mergeAll(lists [][]uint64) []uint64 {
	for len(lists) > 1 {
		merged := make([][]uint64, (len(lists)+1)/2)
		_ = parallel.For(context.Background(), len(merged), func(i int) error {
			if 2*i+1 == len(lists) {
				merged[i] = lists[2*i]
			} else {
				merged[i] = merge(lists[2*i], lists[2*i+1])
			}
			return nil
		})
		lists = merged
	}
	if len(lists) == 0 {
		return nil
	}
	return lists[0]
}

func merge(a, b []uint64) []uint64 {
	out := make([]uint64, 0, len(a)+len(b))
	for len(a) > 0 && len(b) > 0 {
		switch {
		case a[0] < b[0]:
			out, a = append(out, a[0]), a[1:]
		case b[0] < a[0]:
			out, b = append(out, b[0]), b[1:]
		default:
			out, a, b = append(out, a[0]), a[1:], b[1:]
		}
	}
	return append(append(out, a...), b...)
}

// eachCut visits the cuts of the edge from i to j in that order: their places,
// as a share of the way, and their vertices.
func (r *refinement) eachCut(i, j int32, visit func(t float64, vertex int32)) {
	k, found := slices.BinarySearch(r.cuts.keys, edgeKey(i, j))
	if !found {
		return
	}
	lo, hi := r.cuts.starts[k], r.cuts.starts[k+1]
	base := int32(len(r.mesh.Vertices))
	if firstEnd(r.mesh.Vertices[i], r.mesh.Vertices[j]) {
		for c := lo; c < hi; c++ {
			visit(r.cuts.ts[c], base+c)
		}
		return
	}
	for c := hi - 1; c >= lo; c-- {
		visit(1-r.cuts.ts[c], base+c)
	}
}

// between returns the point at t on the way from a to b. Coordinates that both
// share are kept to the last bit.
func between(a, b r3.Vec, t float64) r3.Vec {
	return r3.Vec{X: a.X + t*(b.X-a.X), Y: a.Y + t*(b.Y-a.Y), Z: a.Z + t*(b.Z-a.Z)}
}

// snapToAxis is the distance, mm, within which a new vertex is put onto the
// axis: what rounding leaves of a cut that is meant to be there.
const snapToAxis = 1e-9

func (r *refinement) onAxis(v r3.Vec) r3.Vec {
	p := r.field.Snap(plan(v), snapToAxis)
	return r3.Vec{X: p.X, Y: p.Y, Z: v.Z}
}
