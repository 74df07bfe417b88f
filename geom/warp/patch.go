package warp

import (
	"context"
	"sync"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/field"
)

// patch is one facet being cut to pieces. Its slices are kept from facet to
// facet.
type patch struct {
	field   *field.Field
	tol     float64
	corners [3]r3.Vec
	points  []point
	tris    []tri
	legal   []int32 // triangles whose sides are still to be looked at
	changed []int32 // triangles whose gap is still to be looked at
	gaps    excesses
	chain   [2][]int32
}

var patches = sync.Pool{New: func() any { return new(patch) }}

// point is a vertex of a patch.
type point struct {
	v, w   float64 // weights of the second and third corner
	height float64 // whose lower hull the pieces follow: see patch.height
	place  r3.Vec
	vertex int32 // number in the refined mesh (see block)
}

// tri is a triangle of a patch, turned as the facet. side[i] is the triangle
// across from corner[i], or -1 at the facet's border.
type tri struct {
	corner  [3]int32
	side    [3]int32
	version int32 // counts its changes
	changed bool  // it is among patch.changed
}

// cut appends the pieces of a facet to out.
func (p *patch) cut(ctx context.Context, r *refinement, facet int32, out *block) error {
	p.start(r, facet)
	if len(p.points) == 3 {
		p.tris = append(p.tris[:0], tri{corner: [3]int32{0, 1, 2}, side: [3]int32{-1, -1, -1}})
	} else {
		p.zip()
		p.legalize(0, len(p.tris))
	}
	if err := p.insertInner(ctx, r, out); err != nil {
		return err
	}
	for _, t := range p.tris {
		a, b, c := p.points[t.corner[0]], p.points[t.corner[1]], p.points[t.corner[2]]
		out.pieces = append(out.pieces, [3]int32{a.vertex, b.vertex, c.vertex})
	}
	return nil
}

// start lays out the facet's border: first its corners, then the cuts of its
// sides, in chains from corner to corner. The straight chain is the side with
// the most cuts, the bent one the two others.
func (p *patch) start(r *refinement, facet int32) {
	p.field, p.tol = r.field, r.tol
	f := r.mesh.Facets[facet]
	p.corners = [3]r3.Vec{r.mesh.Vertices[f[0]], r.mesh.Vertices[f[1]], r.mesh.Vertices[f[2]]}
	p.points = p.points[:0]
	p.add(0, 0, p.corners[0], f[0])
	p.add(1, 0, p.corners[1], f[1])
	p.add(0, 1, p.corners[2], f[2])
	weights := [3]r2.Vec{{X: 0, Y: 0}, {X: 1, Y: 0}, {X: 0, Y: 1}}
	var firsts [4]int32
	straight := 0
	for k := range f {
		firsts[k] = int32(len(p.points))
		a, b := weights[k], weights[(k+1)%3]
		r.eachCut(f[k], f[(k+1)%3], func(t float64, vertex int32) {
			v, w := a.X+t*(b.X-a.X), a.Y+t*(b.Y-a.Y)
			p.add(v, w, r.cuts.vertices[vertex-int32(len(r.mesh.Vertices))], vertex)
		})
		firsts[k+1] = int32(len(p.points))
		if firsts[k+1]-firsts[k] > firsts[straight+1]-firsts[straight] {
			straight = k
		}
	}
	a, b, c := straight, (straight+1)%3, (straight+2)%3
	p.chain[0] = appendRange(append(p.chain[0][:0], int32(a)), firsts[a], firsts[a+1])
	p.chain[1] = appendBack(append(p.chain[1][:0], int32(a)), firsts[c], firsts[c+1])
	p.chain[1] = appendBack(append(p.chain[1], int32(c)), firsts[b], firsts[b+1])
	p.chain[0], p.chain[1] = append(p.chain[0], int32(b)), append(p.chain[1], int32(b))
}

func appendRange(s []int32, from, to int32) []int32 {
	for ; from < to; from++ {
		s = append(s, from)
	}
	return s
}

func appendBack(s []int32, from, to int32) []int32 {
	for to--; to >= from; to-- {
		s = append(s, to)
	}
	return s
}

// height returns what the pieces' lower hull is taken of: the lift where it is
// convex, its negative where it is concave. Where it is neither, the hull of the
// squares of distances within the facet gives Delaunay's pieces, the roundest.
func (p *patch) height(v, w float64, place r3.Vec) float64 {
	switch p.field.Curvature() {
	case field.Convex:
		return p.field.At(plan(place))
	case field.Concave:
		return -p.field.At(plan(place))
	}
	return r3.Norm2(r3.Sub(place, p.corners[0]))
}

func (p *patch) add(v, w float64, place r3.Vec, vertex int32) int32 {
	p.points = append(p.points, point{v, w, p.height(v, w, place), place, vertex})
	return int32(len(p.points) - 1)
}

// zip fills the facet with a strip of triangles between the straight chain and
// the bent one. As the straight chain has a cut, no triangle is flat: each has
// corners on both chains, and the chains' common ends serve only the first and
// the last triangle. Which chain advances is decided as for a flip.
func (p *patch) zip() {
	left, right := p.chain[0], p.chain[1]
	p.tris = append(p.tris[:0], tri{corner: [3]int32{left[0], left[1], right[1]}, side: [3]int32{1, -1, -1}})
	i, j := 1, 1
	for i < len(left)-2 || j < len(right)-2 {
		n := int32(len(p.tris))
		advanceLeft := j == len(right)-2
		if i < len(left)-2 && !advanceLeft {
			ahead, ok := p.crossing(left[i], left[i+1], right[j+1], right[j])
			advanceLeft = ok && ahead > 0
		}
		if advanceLeft {
			p.tris = append(p.tris, tri{corner: [3]int32{left[i], left[i+1], right[j]}, side: [3]int32{n + 1, n - 1, -1}})
			i++
		} else {
			p.tris = append(p.tris, tri{corner: [3]int32{left[i], right[j+1], right[j]}, side: [3]int32{-1, n - 1, n + 1}})
			j++
		}
	}
	n := int32(len(p.tris))
	p.tris = append(p.tris, tri{corner: [3]int32{left[i], left[i+1], right[j]}, side: [3]int32{-1, n - 1, -1}})
}

// area2 is twice the area of a triangle of points, in weights: 1 for the facet.
func (p *patch) area2(a, b, c int32) float64 {
	q, r, s := &p.points[a], &p.points[b], &p.points[c]
	return (r.v-q.v)*(s.w-q.w) - (r.w-q.w)*(s.v-q.v)
}

// flat is the area, as a share of the facet's, below which a triangle counts as
// flat: far above rounding, far below the facet's least piece.
const flat = 1e-12

// crossing returns by how much, in mm of lift, the diagonal a c lies above the
// diagonal b d where they cross. ok is false unless a b c d is strictly convex.
func (p *patch) crossing(a, b, c, d int32) (above float64, ok bool) {
	abc, acd := p.area2(a, b, c), p.area2(a, c, d)
	abd, bcd := p.area2(a, b, d), p.area2(b, c, d)
	if abd <= flat || bcd <= flat || abc <= flat || acd <= flat {
		return 0, false
	}
	onAC, onBD := abd/(abd+bcd), abc/(abc+acd)
	la, lb, lc, ld := p.points[a].height, p.points[b].height, p.points[c].height, p.points[d].height
	return la + onAC*(lc-la) - lb - onBD*(ld-lb), true
}
