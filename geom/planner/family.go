package planner

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/spatial/r2"
)

// arcSag is how far a chord of a ring may leave the ring, mm.
const arcSag = 0.004

// family is a set of parallel curves: circles about an axis or straight lines.
// Curve k lies at offset first + k spacing, k >= 0 for rings. Along a curve one
// moves with the offset growing to the right (rings: counter-clockwise).
type family struct {
	rings   bool
	axis    r2.Vec // rings: the centre
	along   r2.Vec // lines: unit vector
	first   float64
	spacing float64
	width   float64 // planar width of its beads; 0: a pitch
}

// ringsFamily has radii (k + 0.5) spacing in every layer, so that rings stack.
func ringsFamily(axis r2.Vec, spacing float64) *family {
	return &family{rings: true, axis: axis, first: spacing / 2, spacing: spacing}
}

func linesFamily(azimuth, spacing float64) *family {
	s, c := math.Sincos(azimuth)
	return &family{along: r2.Vec{X: c, Y: s}, first: spacing / 2, spacing: spacing}
}

// offset is the family's coordinate across its curves.
func (f *family) offset(p r2.Vec) float64 {
	if f.rings {
		return r2.Norm(r2.Sub(p, f.axis))
	}
	return p.X*f.along.Y - p.Y*f.along.X
}

// place is the coordinate along a curve: an angle or a length.
func (f *family) place(p r2.Vec) float64 {
	if f.rings {
		return math.Atan2(p.Y-f.axis.Y, p.X-f.axis.X)
	}
	return r2.Dot(p, f.along)
}

// fit shifts and stretches the family so that beads of one width, near pitch,
// fill the region r of centre lines and slack around it wholly.
func (f *family) fit(r Region, slack, pitch float64) {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, c := range r {
		for i, p := range c {
			lo = math.Min(lo, f.offset(p))
			hi = math.Max(hi, f.offset(p))
			if f.rings {
				lo = math.Min(lo, segmentDistance(f.axis, p, c[next(i, len(c))]))
			}
		}
	}
	centred := f.rings && r.Contains(f.axis)
	if centred {
		lo = slack // the solid begins at radius 0
	}
	n := math.Max(1, math.Round((hi-lo+2*slack)/pitch))
	f.width = (hi - lo + 2*slack) / n
	f.first, f.spacing = lo-slack+f.width/2, f.width
	if n == 1 {
		return
	}
	// Where beads come out narrow, the outermost would lie past the extremes.
	last := math.Min(hi+slack-f.width/2, hi-fitMargin*pitch)
	if !centred {
		f.first = math.Max(f.first, lo+fitMargin*pitch)
	}
	f.spacing = (last - f.first) / (n - 1)
}

// fitMargin is how far inside a region's extremes the outermost curves of a
// fitted family stay, in pitches: farther than chords stray from arcs.
const fitMargin = 0.02

// crossing is where a contour meets a curve.
type crossing struct {
	k       int
	place   float64 // along the curve
	contour int
	pos     float64 // along the contour: edge index + share of the edge
	enters  bool    // moving along the curve one comes into the solid here
	at      r2.Vec
	stroke  int // index of the stroke that ends here; -1: none
}

// curves returns the indices of all curves between offsets a and b: those with
// a <= offset < b or b <= offset < a, so that a vertex is never counted twice.
func (f *family) curves(a, b float64) (from, to int) {
	lo, hi := math.Min(a, b), math.Max(a, b)
	from = int(math.Ceil((lo - f.first) / f.spacing))
	to = int(math.Ceil((hi-f.first)/f.spacing)) - 1
	if f.rings && from < 0 {
		from = 0
	}
	return from, to
}

// crossings lists all meetings of r's contours with the family.
func (f *family) crossings(r Region) []crossing {
	var out []crossing
	for ci, c := range r {
		for i, a := range c {
			b := c[next(i, len(c))]
			for _, t := range f.monotone(a, b) {
				out = f.crossSpan(out, ci, i, a, b, t[0], t[1])
			}
		}
	}
	return out
}

// monotone cuts the edge a-b where the offset has its minimum.
func (f *family) monotone(a, b r2.Vec) [][2]float64 {
	if f.rings {
		d := r2.Sub(b, a)
		if t := -r2.Dot(r2.Sub(a, f.axis), d) / r2.Norm2(d); t > 0 && t < 1 {
			return [][2]float64{{0, t}, {t, 1}}
		}
	}
	return [][2]float64{{0, 1}}
}

// crossSpan appends the crossings of the part t0..t1 of the edge a-b, along
// which the offset rises or falls throughout.
func (f *family) crossSpan(out []crossing, contour, edge int, a, b r2.Vec, t0, t1 float64) []crossing {
	d := r2.Sub(b, a)
	at := func(t float64) r2.Vec {
		if t == 1 {
			return b // exactly the next edge's start, or a vertex could count twice
		}
		return r2.Add(a, r2.Scale(t, d))
	}
	o0, o1 := f.offset(at(t0)), f.offset(at(t1))
	from, to := f.curves(o0, o1)
	for k := from; k <= to; k++ {
		t := f.solve(a, d, f.first+float64(k)*f.spacing, o0, o1, t0, t1)
		p := at(t)
		out = append(out, crossing{k: k, place: f.place(p), contour: contour, pos: float64(edge) + t, enters: o1 > o0, at: p, stroke: -1})
	}
	return out
}

// solve finds where the offset along a + t d is o, between t0 and t1.
func (f *family) solve(a, d r2.Vec, o, o0, o1, t0, t1 float64) float64 {
	t := t0 + (t1-t0)*(o-o0)/(o1-o0)
	if f.rings {
		v := r2.Sub(a, f.axis)
		l2 := r2.Norm2(d)
		mid := -r2.Dot(v, d) / l2
		near := r2.Cross(v, d) / math.Sqrt(l2) // distance of the edge's line
		half := math.Sqrt(math.Max(0, o*o-near*near) / l2)
		if o1 > o0 {
			t = mid + half
		} else {
			t = mid - half
		}
	}
	return math.Max(t0, math.Min(t1, t))
}

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

func (c *clipped) addStroke(from, to int) {
	a, b := &c.cross[from], &c.cross[to]
	path := []r2.Vec{a.at, b.at}
	if c.family.rings {
		end := b.place
		if end < a.place {
			end += 2 * math.Pi
		}
		path = c.family.arc(a.k, a.place, end)
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
