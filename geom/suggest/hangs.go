package suggest

import (
	"sort"

	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/disjoint"
	"conewright/geom/field"
)

// hang is a piece of the part that begins in mid-air when seen from below and
// joins the rest higher up.
type hang struct{ birth, death float64 }

// hangs returns the pieces that hang, by a sweep upward with union-find (0th
// persistence, as in geom/overhang).
func (s *survey) hangs(w *scratch) []hang {
	level := field.Field{}
	starts := s.starts(w, &level)
	if len(starts) == 0 {
		return nil
	}
	born := map[r3.Vec]bool{}
	for _, p := range starts {
		born[p] = true
	}
	n := len(s.mesh.Vertices)
	order := make([]int32, n)
	joined := disjoint.New(n)
	low := make([]int32, n) // of a root: its rank of birth
	for i := range order {
		order[i] = int32(i)
	}
	h := w.height
	sort.Slice(order, func(i, j int) bool { return before(h, order[i], order[j]) })
	rank := make([]int32, n)
	for r, v := range order {
		rank[v] = int32(r)
		low[v] = int32(r)
	}
	var out []hang
	for r, v := range order {
		for _, i := range s.facetOf[s.start[v]:s.start[v+1]] {
			for _, u := range s.mesh.Facets[i] {
				if rank[u] >= int32(r) {
					continue
				}
				a, b := joined.Root(u), joined.Root(v)
				if a == b {
					continue
				}
				if low[b] < low[a] {
					a, b = b, a
				}
				if p := s.mesh.Vertices[order[low[b]]]; born[p] && h[v] > p.Z+s.layer {
					out = append(out, hang{p.Z, h[v]})
				}
				joined.Join(a, b)
			}
		}
	}
	return out
}
