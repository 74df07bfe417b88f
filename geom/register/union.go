package register

import (
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"conewright/geom/disjoint"
	"conewright/geom/mesh"
)

// A part may be of several bodies that lap over each other. Planners print their
// union, so the outline of one inside another is no outline of the part: no bead
// need lie along it, and any may cross it.

const (
	// lifted is how far beside a piece, mm, the solid is asked for: more than what
	// floats round, less than any crack.
	lifted = 1e-6
	// crack is the width, mm, below which the gap between bodies that touch is
	// none: warping moves each by its own tolerance, and planners close such gaps
	// (common practice, no source).
	crack = 0.05
	// crumb is the length, mm, below which what remains of a piece is dropped.
	crumb = 1e-6
	// touch is how much nearer than its own cells a piece is found, mm: rounding.
	touch = 0.01
)

// severalBodies reports a mesh whose facets don't all hang together.
func severalBodies(m *mesh.Mesh) bool {
	if len(m.Facets) == 0 {
		return false
	}
	sets := disjoint.New(len(m.Vertices))
	for _, f := range m.Facets {
		sets.Join(f[0], f[1])
		sets.Join(f[0], f[2])
	}
	root := sets.Root(m.Facets[0][0])
	return slices.ContainsFunc(m.Facets, func(f [3]int32) bool { return sets.Root(f[0]) != root })
}

// outermost returns the pieces, or the stretches of them, that bound the union:
// those with nothing solid on their outer side.
func outermost(pieces []piece) []piece {
	f := footprint{pieces: pieces}
	ends := func(i int) (a, b r2.Vec) { return f.pieces[i].a, f.pieces[i].b }
	f.grid.build(len(f.pieces), ends, touch)
	kept := make([]piece, 0, len(pieces))
	var cuts []float64
	for i := range f.pieces {
		q := f.pieces[i]
		cuts = append(cuts[:0], 0, 1)
		f.grid.visit(ends, i, touch, func(c int) {
			for _, k := range f.grid.items(c) {
				if t, ok := meeting(&q, &f.pieces[k]); ok {
					cuts = append(cuts, t)
				}
			}
		})
		slices.Sort(cuts)
		length, whole := r2.Norm(r2.Sub(q.b, q.a)), false
		for k, t := range cuts[1:] {
			from := cuts[k]
			if (t-from)*length < crumb {
				continue
			}
			middle := along(q.a, q.b, (from+t)/2)
			if f.winding(r2.Add(middle, r2.Scale(lifted, q.out))) > 0 {
				whole = false
				continue
			}
			part := q
			part.a, part.b = along(q.a, q.b, from), along(q.a, q.b, t)
			part.inner = f.winding(r2.Add(middle, r2.Scale(crack, q.out))) > 0
			if whole && kept[len(kept)-1].inner == part.inner { // goes on from the last stretch
				kept[len(kept)-1].b = part.b
			} else {
				kept = append(kept, part)
			}
			whole = true
		}
	}
	return kept
}

// meeting returns where on q another piece crosses it.
func meeting(q, o *piece) (t float64, ok bool) {
	d, e := r2.Sub(q.b, q.a), r2.Sub(o.b, o.a)
	den := r2.Cross(d, e)
	if den == 0 {
		return 0, false
	}
	w := r2.Sub(o.a, q.a)
	t = r2.Cross(w, e) / den
	u := r2.Cross(w, d) / den
	return t, t > 0 && t < 1 && u >= 0 && u <= 1
}

// winding counts the bodies that p lies in: crossings of the ray from p to -x.
func (f *footprint) winding(p r2.Vec) int {
	g := &f.grid
	if g.nx == 0 || p.Y < g.min.Y || p.X < g.min.X {
		return 0
	}
	wind, y := 0, g.row(p.Y)
	for x := 0; x <= g.column(p.X); x++ {
		for _, i := range g.items(y*g.nx + x) {
			q := &f.pieces[i]
			if (q.a.Y >= p.Y) == (q.b.Y >= p.Y) {
				continue
			}
			cx := q.a.X + (p.Y-q.a.Y)/(q.b.Y-q.a.Y)*(q.b.X-q.a.X)
			if cx > p.X || g.column(cx) != x { // it is in several cells: count it once
				continue
			}
			if wind++; q.out.X > 0 {
				wind -= 2
			}
		}
	}
	return wind
}
