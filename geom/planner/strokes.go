package planner

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/spatial/r2"

	"conewright/geom/polygon"
)

// arcSag is how far a chord of a ring may leave the ring, mm.
const arcSag = 0.004

// stroke is a piece of curve k inside the region, from one crossing to the
// next; closed for a whole ring.
type stroke struct {
	k        int
	from, to int // crossings
	path     []r2.Vec
	closed   bool
}

// clipped is a family cut to a region.
type clipped struct {
	family *family
	region Region
	cross  []crossing
	list   []stroke
}

// clip cuts the family to r, which must be clean.
func (f *family) clip(r Region) *clipped {
	c := &clipped{family: f, region: r, cross: f.crossings(r)}
	byCurve := make([]int, len(c.cross))
	for i := range byCurve {
		byCurve[i] = i
	}
	sort.Slice(byCurve, func(i, j int) bool {
		a, b := &c.cross[byCurve[i]], &c.cross[byCurve[j]]
		if a.k != b.k {
			return a.k < b.k
		}
		if a.place != b.place {
			return a.place < b.place
		}
		return byCurve[i] < byCurve[j]
	})
	k := 0
	if f.rings {
		k = c.wholeRings(0, 0)
	}
	for i := 0; i < len(byCurve); {
		j := i
		for j < len(byCurve) && c.cross[byCurve[j]].k == c.cross[byCurve[i]].k {
			j++
		}
		if f.rings {
			c.wholeRings(k, c.cross[byCurve[i]].k)
			k = c.cross[byCurve[i]].k + 1
		}
		c.pair(byCurve[i:j])
		i = j
	}
	if f.rings {
		_, last := f.curves(0, farthest(c.region, f.axis))
		c.wholeRings(k, last+1)
	}
	return c
}

// wholeRings adds the uncrossed rings from <= k < to that lie inside.
func (c *clipped) wholeRings(from, to int) int {
	f := c.family
	for k := from; k < to; k++ {
		r := f.first + float64(k)*f.spacing
		if c.region.Contains(r2.Vec{X: f.axis.X + r, Y: f.axis.Y}) {
			path := f.arc(k, 0, 2*math.Pi)
			c.list = append(c.list, stroke{k: k, from: -1, to: -1, path: path[:len(path)-1], closed: true})
		}
	}
	return to
}

// pair makes strokes of the crossings of one curve, sorted along it. On a ring
// the list begins where the winding is least, since it may start inside.
func (c *clipped) pair(ids []int) {
	ids = c.withoutTouches(ids)
	if c.family.rings {
		depth, least, start := 0, 0, 0
		for i, id := range ids {
			if c.cross[id].enters {
				depth++
			} else {
				depth--
			}
			if depth < least {
				least, start = depth, (i+1)%len(ids)
			}
		}
		ids = append(append([]int(nil), ids[start:]...), ids[:start]...)
	}
	depth, open := 0, -1
	for _, id := range ids {
		if c.cross[id].enters {
			if depth == 0 {
				open = id
			}
			depth++
			continue
		}
		depth--
		if depth == 0 && open >= 0 {
			c.addStroke(open, id)
		}
		if depth <= 0 {
			depth, open = 0, -1
		}
	}
}

// touch is how near to each other, mm, leaving and entering the solid are one:
// a curve that grazes the region, or a place where the region touches itself.
// Rounding decides there which of the two comes first, and the wrong order would
// make a stroke of all that lies outside.
const touch = 2 * polygon.Unit

// withoutTouches drops crossings where the curve leaves the solid and enters it
// again at the same place.
func (c *clipped) withoutTouches(ids []int) []int {
	out := make([]int, 0, len(ids))
	touches := func(a, b int) bool {
		p, q := &c.cross[a], &c.cross[b]
		return !p.enters && q.enters && r2.Norm(r2.Sub(p.at, q.at)) < touch
	}
	for _, id := range ids {
		if n := len(out); n > 0 && touches(out[n-1], id) {
			out = out[:n-1]
			continue
		}
		out = append(out, id)
	}
	if n := len(out); c.family.rings && n > 1 && touches(out[n-1], out[0]) {
		out = out[1 : n-1]
	}
	return out
}

func (c *clipped) addStroke(from, to int) {
	a, b := &c.cross[from], &c.cross[to]
	path := []r2.Vec{a.at, b.at}
	if c.family.rings {
		end := b.place
		if end < a.place {
			end += 2 * math.Pi
		}
		path = c.family.arc(a.k, a.place, end)
		if end-a.place > math.Pi && !c.region.Contains(path[len(path)/2]) {
			return // the way round outside, by rounding
		}
		path[0], path[len(path)-1] = a.at, b.at
	}
	a.stroke, b.stroke = len(c.list), len(c.list)
	c.list = append(c.list, stroke{k: a.k, from: from, to: to, path: path})
}

// arc is ring k between two angles in chords; whole circles always have the
// same corners, so that rings stack.
func (f *family) arc(k int, from, to float64) []r2.Vec {
	r := f.first + float64(k)*f.spacing
	step := 2 * math.Acos(1-math.Min(arcSag/r, 0.3))
	n := int(math.Ceil((to - from) / step))
	path := make([]r2.Vec, 0, n+1)
	for i := range n + 1 {
		s, c := math.Sincos(from + (to-from)*float64(i)/float64(n))
		path = append(path, r2.Vec{X: f.axis.X + r*c, Y: f.axis.Y + r*s})
	}
	return path
}
