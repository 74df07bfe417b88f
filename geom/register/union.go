package register

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/mesh"
)

// A part may be of several bodies that lap over each other. Planners print their
// union, so the outline of one inside another is no outline of the part: no bead
// need lie along it, and any may cross it.

const (
	// lifted is how far beside a piece, mm, the solid is asked for: more than what
	// single precision rounds over a bed (0.00001 mm), less than any crack.
	lifted = 2e-5
	// crack is the width, mm, below which the gap between bodies that touch is
	// none: warping moves each by its own tolerance, and planners close such gaps
	// (common practice, no source).
	crack = 0.05
	// crumb is the length, mm, below which what remains of a piece is dropped.
	crumb = 1e-6
	// touch is how much nearer than its own cells a piece is found, mm: rounding.
	touch = 0.01
)

// bodies tells a mesh's bodies apart.
type bodies struct {
	of  []int32  // of each facet
	box []r3.Box // of each body
}

// bodiesOf returns nothing for a mesh of one body, or of bodies that are clear of
// each other.
func bodiesOf(m *mesh.Mesh) bodies {
	// Bodies that touch may share vertices and edges, but never an edge of just two
	// facets.
	var b bodies
	of, count := m.Bodies(mesh.ByEdge)
	b.of, b.box = of, make([]r3.Box, 0, count)
	for i, f := range m.Facets {
		k := b.of[i]
		if int(k) == len(b.box) { // its first facet
			v := m.Vertices[f[0]]
			b.box = append(b.box, r3.Box{Min: v, Max: v})
		}
		p, q, r := m.Corners(i)
		for _, v := range [3]r3.Vec{p, q, r} {
			c := &b.box[k]
			c.Min = r3.Vec{X: math.Min(c.Min.X, v.X), Y: math.Min(c.Min.Y, v.Y), Z: math.Min(c.Min.Z, v.Z)}
			c.Max = r3.Vec{X: math.Max(c.Max.X, v.X), Y: math.Max(c.Max.Y, v.Y), Z: math.Max(c.Max.Z, v.Z)}
		}
	}
	for i := range b.box {
		if b.nears(int32(i), b.box[i]) {
			return b
		}
	}
	return bodies{}
}

// many is from how many bodies on looking for those near by takes longer than it
// spares.
const many = 100

// nears reports whether a body other than k comes near the box.
func (b *bodies) nears(k int32, a r3.Box) bool {
	if len(b.box) > many {
		return true
	}
	for i := range b.box {
		o := &b.box[i]
		if int32(i) != k && a.Min.X-crack <= o.Max.X && o.Min.X-crack <= a.Max.X &&
			a.Min.Y-crack <= o.Max.Y && o.Min.Y-crack <= a.Max.Y && a.Min.Z-crack <= o.Max.Z && o.Min.Z-crack <= a.Max.Z {
			return true
		}
	}
	return false
}

// nearsPiece reports whether another body comes near a piece at height z.
func (b *bodies) nearsPiece(q *piece, z float64) bool {
	return b.nears(q.body, r3.Box{
		Min: r3.Vec{X: math.Min(q.a.X, q.b.X), Y: math.Min(q.a.Y, q.b.Y), Z: z},
		Max: r3.Vec{X: math.Max(q.a.X, q.b.X), Y: math.Max(q.a.Y, q.b.Y), Z: z},
	})
}

// outermost returns the pieces at height z, or the stretches of them, that bound the union:
// those with nothing solid on their outer side.
func (b *bodies) outermost(pieces []piece, z float64) []piece {
	f := footprint{pieces: pieces}
	ends := func(i int) (a, b r2.Vec) { return f.pieces[i].a, f.pieces[i].b }
	f.grid.build(len(f.pieces), ends, touch)
	kept := make([]piece, 0, len(pieces))
	var cuts []float64
	for i := range f.pieces {
		q := f.pieces[i]
		if !b.nearsPiece(&q, z) {
			kept = append(kept, q)
			continue
		}
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
	// A little beyond its ends counts: where a piece ends on another, floats round.
	u, slack := r2.Cross(w, d)/den, touch/math.Max(touch, r2.Norm(e))
	return t, t > 0 && t < 1 && u >= -slack && u <= 1+slack
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
