package warp

import (
	"context"
	"math"
	"sync/atomic"

	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/field"
	"conewright/geom/mesh"
	"conewright/geom/message"
	"conewright/geom/parallel"
)

// refinement is a refinement on its way, step by step: suspect facets, cuts of
// their edges, pieces.
type refinement struct {
	mesh  *mesh.Mesh
	field *field.Field
	tol   float64
	limit int // most facets

	suspects []int32 // facets that the quick test couldn't clear, ascending
	cuts     edgeCuts
	blocks   []block // pieces of the suspects, blockLen suspects each
}

// blockLen is how many suspects are cut to pieces at a time.
const blockLen = 256

// block holds the pieces of some suspects in a row. Vertex numbers from
// firstInner on count the block's own inner vertices.
type block struct {
	counts []int32 // pieces a suspect
	pieces [][3]int32
	inner  []r3.Vec
}

// findSuspects clears facets that surely need no cut. With the lift's second
// derivative at most bend, a triangle of longest side L has a gap of at most
// bend L^2 / 6 (field.Bend), and its edges one of at most bend L^2 / 8. A cleared
// facet must have no edge that a neighbour wants cut, whatever the rounding.
func (r *refinement) findSuspects(ctx context.Context) error {
	for _, found := range inSpans(len(r.mesh.Facets), func(lo, hi int) []int32 {
		var found []int32
		for i := lo; i < hi; i++ {
			t := r.mesh.Facets[i]
			a, b, c := r.mesh.Vertices[t[0]], r.mesh.Vertices[t[1]], r.mesh.Vertices[t[2]]
			if !r.flat(a, b, c) {
				found = append(found, int32(i))
			}
		}
		return found
	}) {
		r.suspects = append(r.suspects, found...)
	}
	return ctx.Err()
}

// flat reports by a bound that the lift is linear within the tolerance over a
// triangle, which lies in the disc about any corner with its longest side.
func (r *refinement) flat(a, b, c r3.Vec) bool {
	l2 := max(planDistance2(a, b), planDistance2(b, c), planDistance2(c, a))
	l := math.Sqrt(l2)
	most := 6 * r.tol
	if tol := r.edgeTol(); tol < r.tol {
		most = min(most, 8*(1-spare)*tol)
	}
	for _, corner := range [3]r3.Vec{a, b, c} {
		if r.field.Bend(plan(corner), l)*l2 <= most {
			return true
		}
	}
	return l2 == 0
}

func planDistance2(a, b r3.Vec) float64 {
	dx, dy := b.X-a.X, b.Y-a.Y
	return dx*dx + dy*dy
}

// cutFacets cuts the suspects to pieces along the cuts of their edges.
func (r *refinement) cutFacets(ctx context.Context) error {
	r.blocks = make([]block, (len(r.suspects)+blockLen-1)/blockLen)
	var total atomic.Int64
	total.Store(int64(len(r.mesh.Facets)))
	return parallel.For(ctx, len(r.blocks), func(b int) error {
		p := patches.Get().(*patch)
		defer patches.Put(p)
		out := &r.blocks[b]
		for _, facet := range r.suspects[b*blockLen : min((b+1)*blockLen, len(r.suspects))] {
			before := len(out.pieces)
			if err := p.cut(ctx, r, facet, out); err != nil {
				return err
			}
			n := len(out.pieces) - before
			out.counts = append(out.counts, int32(n))
			if total.Add(int64(n-1)) > int64(r.limit) {
				return r.tooFine()
			}
			if err := ctx.Err(); err != nil {
				return err
			}
		}
		return nil
	})
}

func (r *refinement) tooFine() error {
	return message.Errorf("more than %d facets would be needed: take a larger tolerance: %s", r.limit, ErrTooFine)
}

// firstInner is the number of the first vertex inside a facet: the mesh's own
// vertices and the cuts of edges come before.
func (r *refinement) firstInner() int32 {
	return int32(len(r.mesh.Vertices) + len(r.cuts.vertices))
}

// assemble puts the pieces in the places of their facets.
func (r *refinement) assemble(ctx context.Context) (*mesh.Mesh, error) {
	starts, inners := make([]int, len(r.blocks)), make([]int, len(r.blocks))
	facets, inner := len(r.mesh.Facets), 0
	for b := range r.blocks {
		starts[b], inners[b] = facets-len(r.mesh.Facets), inner
		facets += len(r.blocks[b].pieces) - len(r.blocks[b].counts)
		inner += len(r.blocks[b].inner)
	}
	if facets == len(r.mesh.Facets) && inner == 0 && len(r.cuts.vertices) == 0 {
		return r.mesh, nil
	}
	out := &mesh.Mesh{Facets: make([][3]int32, facets)}
	if r.mesh.Origins != nil {
		out.Origins = make([]mesh.Origin, facets)
	}
	out.Vertices = make([]r3.Vec, 0, int(r.firstInner())+inner)
	out.Vertices = append(append(out.Vertices, r.mesh.Vertices...), r.cuts.vertices...)
	for b := range r.blocks {
		out.Vertices = append(out.Vertices, r.blocks[b].inner...)
	}
	return out, parallel.For(ctx, len(r.blocks), func(b int) error {
		r.place(b, out, starts[b], int32(inners[b]))
		return nil
	})
}

// place copies the pieces of block b and the uncut facets that follow each of
// its suspects (for the first block, also those before). shift is by how much
// the earlier blocks have lengthened the list of facets.
func (r *refinement) place(b int, out *mesh.Mesh, shift int, inner int32) {
	first := b * blockLen
	from := int(r.suspects[first]) // next facet to copy
	if b == 0 {
		from = 0
	}
	firstInner, pieces := r.firstInner(), r.blocks[b].pieces
	for k, count := range r.blocks[b].counts {
		facet, end := int(r.suspects[first+k]), len(r.mesh.Facets)
		if next := first + k + 1; next < len(r.suspects) {
			end = int(r.suspects[next])
		}
		copyFacets(out, from+shift, r.mesh, from, facet)
		for i, t := range pieces[:count] {
			for j, v := range t {
				if v >= firstInner {
					t[j] = v + inner
				}
			}
			out.Facets[facet+shift+i] = t
			if out.Origins != nil {
				out.Origins[facet+shift+i] = r.mesh.Origins[facet]
			}
		}
		pieces = pieces[count:]
		shift += int(count) - 1
		copyFacets(out, facet+1+shift, r.mesh, facet+1, end)
		from = end
	}
}

func copyFacets(out *mesh.Mesh, at int, m *mesh.Mesh, from, to int) {
	if from >= to {
		return
	}
	copy(out.Facets[at:], m.Facets[from:to])
	if out.Origins != nil {
		copy(out.Origins[at:], m.Origins[from:to])
	}
}
