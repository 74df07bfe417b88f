package warp

import (
	"context"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// flipGain is the least lowering, mm, that is worth a flip. It keeps rounding
// from flipping to and fro.
const flipGain = 1e-10

// legalize flips sides until the lifted triangles are convex seen from below
// (Lawson's flips, for the lift in place of a paraboloid), from the triangles
// lo up to hi on. Each flip lowers the surface by flipGain or more somewhere,
// so they end.
func (p *patch) legalize(lo, hi int) {
	p.legal = appendRange(p.legal[:0], int32(lo), int32(hi))
	p.flipAll()
}

func (p *patch) flipAll() {
	for len(p.legal) > 0 {
		t := p.legal[len(p.legal)-1]
		p.legal = p.legal[:len(p.legal)-1]
		for k := range 3 {
			if p.flip(t, k) {
				break // t was put on the stack again
			}
		}
	}
}

// flip turns the side of t across from its corner k, if that lowers the lifted
// surface, and puts both triangles on the stacks.
func (p *patch) flip(t int32, k int) bool {
	u := p.tris[t].side[k]
	if u < 0 {
		return false
	}
	m := p.sideOf(u, t)
	b, c, a := p.tris[t].corner[k], p.tris[t].corner[(k+1)%3], p.tris[t].corner[(k+2)%3]
	d := p.tris[u].corner[m]
	// The side runs from c to a; b and d face it. Seen counter-clockwise the
	// quadrilateral is a b c d.
	if above, ok := p.crossing(a, b, c, d); !ok || above <= flipGain {
		return false
	}
	bc, ab := p.tris[t].side[(k+2)%3], p.tris[t].side[(k+1)%3]
	da, cd := p.tris[u].side[(m+2)%3], p.tris[u].side[(m+1)%3]
	// In u the corners run d, a, c: across from c lies the side d a, from a the
	// side c d.
	p.set(t, [3]int32{a, b, d}, [3]int32{u, da, ab})
	p.set(u, [3]int32{b, c, d}, [3]int32{cd, t, bc})
	p.relink(da, u, t)
	p.relink(bc, t, u)
	p.legal = append(p.legal, t, u)
	return true
}

// sideOf returns which side of u is shared with t.
func (p *patch) sideOf(u, t int32) int {
	for k, s := range p.tris[u].side {
		if s == t {
			return k
		}
	}
	panic("warp: triangles of a patch don't agree on their neighbours")
}

func (p *patch) relink(t, from, to int32) {
	if t >= 0 {
		p.tris[t].side[p.sideOf(t, from)] = to
	}
}

// insertInner adds vertices inside the facet, always where the gap is greatest
// of all, until every piece keeps the tolerance.
func (p *patch) insertInner(ctx context.Context, r *refinement, out *block) error {
	first := r.firstInner()
	p.gaps = p.gaps[:0]
	p.changed = appendRange(p.changed[:0], 0, int32(len(p.tris)))
	for p.noteGaps(); len(p.gaps) > 0; p.noteGaps() {
		g := p.gaps.pop()
		if g.version != p.tris[g.tri].version {
			continue
		}
		if len(p.tris) > r.limit {
			return r.tooFine()
		}
		if err := ctx.Err(); err != nil {
			return err
		}
		a := p.corners[0]
		place := r3.Add(a, r3.Add(r3.Scale(g.at.X, r3.Sub(p.corners[1], a)), r3.Scale(g.at.Y, r3.Sub(p.corners[2], a))))
		v := p.add(g.at.X, g.at.Y, r.onAxis(place), first+int32(len(out.inner)))
		out.inner = append(out.inner, p.points[v].place)
		if g.side < 0 {
			p.splitInside(g.tri, v)
		} else {
			p.splitSide(g.tri, g.side, v)
		}
	}
	return nil
}

// noteGaps looks at the triangles that changed and notes those whose gap
// exceeds the tolerance.
func (p *patch) noteGaps() {
	for _, t := range p.changed {
		p.tris[t].changed = false
		if gap, at, side := p.worst(t); gap > p.tol {
			p.gaps.push(excess{gap, at, side, t, p.tris[t].version})
		}
	}
	p.changed = p.changed[:0]
}

// set replaces triangle t.
func (p *patch) set(t int32, corner, side [3]int32) {
	old := p.tris[t]
	p.tris[t] = tri{corner: corner, side: side, version: old.version + 1, changed: true}
	if !old.changed {
		p.changed = append(p.changed, t)
	}
}

// worst returns the greatest gap of a triangle, where it is (in weights), and
// on which inner side: -1 inside the triangle. Sides on the facet's border are
// not looked at: they keep the tolerance.
func (p *patch) worst(t int32) (gap float64, at r2.Vec, side int) {
	c := p.tris[t].corner
	a := [3]*point{&p.points[c[0]], &p.points[c[1]], &p.points[c[2]]}
	q := [3]r2.Vec{plan(a[0].place), plan(a[1].place), plan(a[2].place)}
	side = -1
	longest := 0.0
	for k := range 3 {
		i, j := (k+1)%3, (k+2)%3
		longest = max(longest, r2.Norm2(r2.Sub(q[i], q[j])))
		if p.tris[t].side[k] < 0 {
			continue
		}
		line := p.field.Along(q[i], q[j])
		if line.Straight(p.tol) {
			continue
		}
		if g, s := line.Gap(0, 1); g > gap {
			gap, side = g, k
			at = r2.Vec{X: a[i].v + s*(a[j].v-a[i].v), Y: a[i].w + s*(a[j].w-a[i].w)}
		}
	}
	if !p.upright(q, longest) && !p.flat(q, longest) {
		if g, place, ok := p.field.GapInside(q[0], q[1], q[2], p.tol); ok && g > gap {
			return g, p.weights(a, q, place), -1
		}
	}
	return gap, at, side
}

// thinPlan is the width in plan, mm, below which a triangle counts as upright:
// its inside strays from its sides by no more than that times the slope.
const thinPlan = 1e-9

// flat reports by a bound that the lift is linear within the tolerance over a
// triangle, where finding the gap inside is a search.
func (p *patch) flat(q [3]r2.Vec, longest float64) bool {
	if p.field.InsideIsExact() {
		return false
	}
	middle := r2.Scale(1.0/3, r2.Add(q[0], r2.Add(q[1], q[2])))
	radius := 0.0
	for _, c := range q {
		radius = max(radius, r2.Norm(r2.Sub(c, middle)))
	}
	return p.field.Bend(middle, radius)*longest <= 6*p.tol
}

func (p *patch) upright(q [3]r2.Vec, longest float64) bool {
	area2 := math.Abs(r2.Cross(r2.Sub(q[1], q[0]), r2.Sub(q[2], q[0])))
	return area2 <= thinPlan*math.Sqrt(longest)
}

// weights returns the weights, in the facet, of the place in a triangle of it.
func (p *patch) weights(a [3]*point, q [3]r2.Vec, place r2.Vec) r2.Vec {
	ab, ac, d := r2.Sub(q[1], q[0]), r2.Sub(q[2], q[0]), r2.Sub(place, q[0])
	area2 := r2.Cross(ab, ac)
	s, t := r2.Cross(d, ac)/area2, r2.Cross(ab, d)/area2
	return r2.Vec{
		X: a[0].v + s*(a[1].v-a[0].v) + t*(a[2].v-a[0].v),
		Y: a[0].w + s*(a[1].w-a[0].w) + t*(a[2].w-a[0].w),
	}
}

// splitInside cuts t into three at v.
func (p *patch) splitInside(t, v int32) {
	old := p.tris[t]
	u, w := p.fresh(), p.fresh()
	a, b, c := old.corner[0], old.corner[1], old.corner[2]
	p.set(t, [3]int32{a, b, v}, [3]int32{u, w, old.side[2]})
	p.set(u, [3]int32{b, c, v}, [3]int32{w, t, old.side[0]})
	p.set(w, [3]int32{c, a, v}, [3]int32{t, u, old.side[1]})
	p.relink(old.side[0], t, u)
	p.relink(old.side[1], t, w)
	p.legal = append(p.legal[:0], t, u, w)
	p.flipAll()
}

// splitSide cuts t and its neighbour across from corner k in two each at v on
// their common side.
func (p *patch) splitSide(t int32, k int, v int32) {
	u := p.tris[t].side[k]
	m := p.sideOf(u, t)
	b, c, a := p.tris[t].corner[k], p.tris[t].corner[(k+1)%3], p.tris[t].corner[(k+2)%3]
	d := p.tris[u].corner[m]
	bc, ab := p.tris[t].side[(k+2)%3], p.tris[t].side[(k+1)%3]
	da, cd := p.tris[u].side[(m+2)%3], p.tris[u].side[(m+1)%3]
	x, y := p.fresh(), p.fresh()
	p.set(t, [3]int32{a, b, v}, [3]int32{x, u, ab})
	p.set(u, [3]int32{d, a, v}, [3]int32{t, y, da})
	p.set(x, [3]int32{b, c, v}, [3]int32{y, t, bc})
	p.set(y, [3]int32{c, d, v}, [3]int32{u, x, cd})
	p.relink(bc, t, x)
	p.relink(cd, u, y)
	p.legal = append(p.legal[:0], t, u, x, y)
	p.flipAll()
}

// fresh makes room for another triangle.
func (p *patch) fresh() int32 {
	p.tris = append(p.tris, tri{})
	return int32(len(p.tris) - 1)
}
