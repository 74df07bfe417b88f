package deposit

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// rimEvery is the distance of the places of the tip's path at which its rim is
	// held against the surface: less than the rim's radius, over which a bead's top
	// is dug evenly.
	rimEvery = 0.3
	// deepestDig is the greatest depth that is told. What stands further over the
	// rim is a wall that the head meets: geom/clearance tells that.
	deepestDig = 2.0
	// leastDig is a depth of no account.
	leastDig = 0.01
	// diggingShare is the share of a shell's thickness over which a dig counts.
	diggingShare = 1.0 / 3
)

// rim is the nozzle's flat end at a moment: a disc square to its axis.
type rim struct {
	tip, axis r3.Vec
	radius    float64
	sin, cos  float64 // of the axis' lean
	before    float64 // only what was laid before this length of path counts
}

func rimAt(tip, axis r3.Vec, radius float64) rim {
	return rim{tip: tip, axis: axis, radius: radius, sin: math.Hypot(axis.X, axis.Y), cos: axis.Z}
}

// sweep holds the rim against the surface along a move.
func (j *Judge) sweep(m *Move, length float64) {
	low := min(m.From.Z, m.To.Z)
	if lean := j.rim * math.Sqrt(max(0, 1-sq(min(m.FromAxis.Z, m.ToAxis.Z)))); low-lean >= j.surface.top || length == 0 {
		return
	}
	n := int(math.Ceil(length / rimEvery))
	for i := range n {
		u := (float64(i) + 0.5) / float64(n)
		axis := m.FromAxis
		if m.ToAxis != m.FromAxis {
			axis = r3.Unit(r3.Add(r3.Scale(1-u, m.FromAxis), r3.Scale(u, m.ToAxis)))
		}
		r := rimAt(r3.Add(m.From, r3.Scale(u, r3.Sub(m.To, m.From))), axis, j.rim)
		r.before = j.path + u*length - ownPath
		if depth, shell := j.surface.dig(&r); depth > leastDig {
			j.report.Digs.add(&Dig{Depth: depth, At: r.tip, Zone: m.Zone, Line: m.Line, Travel: !m.Lays, Shell: shell}, length/float64(n))
		}
	}
}

func sq(v float64) float64 { return v * v }

// add counts a dig over a length of path.
func (d *Digs) add(g *Dig, length float64) {
	if g.Depth > d.Deepest.Depth {
		d.Deepest = *g
	}
	switch {
	case g.Depth <= diggingShare*g.Shell:
	case g.Travel:
		d.TravelLength += length
	default:
		d.BeadLength += length
	}
}

// dig returns how far the tops of beads stand over the rim, along its axis, and
// the shell thickness of the bead that does so furthest.
func (s *surface) dig(r *rim) (depth, shell float64) {
	x0, x1 := r.extent(r.axis.X, s.out)
	y0, y1 := r.extent(r.axis.Y, s.out)
	for y := cellOf(r.tip.Y + y0); y <= cellOf(r.tip.Y+y1); y++ {
		for x := cellOf(r.tip.X + x0); x <= cellOf(r.tip.X+x1); x++ {
			c := s.at(x, y)
			if c == nil || len(c.segments) == 0 || float64(c.top) <= r.lowest(x, y, s.out) {
				continue
			}
			for i := r.first(c); i < len(c.segments); i++ {
				if d := r.under(&c.segments[i], depth); d > depth {
					depth, shell = d, 2*float64(c.segments[i].half)
				}
			}
		}
	}
	return depth, shell
}

// extent returns how far the places that the rim may dig at reach along a level
// direction, seen from the tip, a being the axis' part along it and out how far
// beads reach out of their cells.
func (r *rim) extent(a, out float64) (lo, hi float64) {
	side := r.radius*math.Sqrt(max(0, 1-a*a)) + out
	return min(0, deepestDig*a) - side, max(0, deepestDig*a) + side
}

// lowest returns a height below which nothing over a cell stands over the rim.
// With x along the lean and e the offset along the rim's steepest line, a point s
// above the rim is at x = s sin + e cos, z = s cos - e sin, so that
// z = x cos / sin - e / sin: at least this with e = radius, and at least -e sin.
func (r *rim) lowest(x, y int32, out float64) float64 {
	z := -r.radius * r.sin
	if r.sin > 0.01 {
		const half = cellEdge / 2
		mx, my := float64(x)*cellEdge+half-r.tip.X, float64(y)*cellEdge+half-r.tip.Y
		along := (mx*r.axis.X + my*r.axis.Y - half*(math.Abs(r.axis.X)+math.Abs(r.axis.Y))) / r.sin
		z = max(z, (along-out)*r.cos/r.sin-r.radius/r.sin)
	}
	return r.tip.Z + z
}

// first returns the first segment of a cell that isn't shown to lie under the rim,
// as those before it are.
func (r *rim) first(c *cell) int {
	n := c.n.wide()
	square := r3.Dot(n, r.axis)
	if square <= 0 {
		return 0
	}
	return c.from(r3.Dot(n, r.tip) - r.radius*math.Sqrt(max(0, 1-square*square)) + leastDig*square)
}

// under returns how far the flat top of a segment's bead stands over the rim,
// where that is more than beyond; else less.
func (r *rim) under(g *segment, beyond float64) float64 {
	if g.path > r.before {
		return 0
	}
	m := r3.Sub(g.middle(), r.tip)
	high, reach := r3.Dot(m, r.axis), float64(g.reach)
	if high+reach <= max(beyond, leastDig) {
		return 0
	}
	d, n := g.d.wide(), g.normal()
	square := r3.Dot(n, r.axis)
	highest := high + math.Abs(r3.Dot(d, r.axis))/2 + float64(g.half)*square + float64(g.flat)*math.Sqrt(max(0, 1-square*square))
	if highest <= max(beyond, leastDig) || r3.Norm2(m)-high*high > sq(r.radius+reach) {
		return 0
	}
	a := r3.Add(r3.Sub(g.a.wide(), r.tip), r3.Scale(float64(g.half), n))
	flat := float64(g.flat)
	across := r3.Cross(n, d)
	if l := r3.Norm(across); l > 0 {
		across = r3.Scale(flat/l, across)
	}
	top := topFace{a: r3.Sub(a, across), d: d, w: r3.Scale(2, across)}
	return min(r.highest(&top), deepestDig)
}

// topFace is a parallelogram seen from the tip: a + u d + v w, 0 <= u, v <= 1.
type topFace struct{ a, d, w r3.Vec }

// highest returns the greatest height of a face over the rim's disc, zero where
// it isn't over it. Height is linear on the face, and what lies over the disc is
// convex, so the greatest is on an edge of the face or on the disc's border where
// the face rises most.
func (r *rim) highest(f *topFace) (most float64) {
	b := r3.Add(f.a, f.w)
	for _, e := range [4][2]r3.Vec{{f.a, f.d}, {b, f.d}, {f.a, f.w}, {r3.Add(f.a, f.d), f.w}} {
		most = max(most, r.highestOn(e[0], e[1]))
	}
	normal := r3.Cross(f.d, f.w)
	cos := r3.Dot(normal, r.axis)
	side := r3.Sub(normal, r3.Scale(cos, r.axis))
	l := r3.Norm(side)
	if cos == 0 || l == 0 {
		return most
	}
	// The disc's point furthest up the face, and the face's height over it.
	p := r3.Scale(-r.radius*math.Copysign(1, cos)/l, side)
	h := (r3.Dot(f.a, normal) - r3.Dot(p, normal)) / cos
	if h > most && f.has(r3.Sub(r3.Add(p, r3.Scale(h, r.axis)), f.a)) {
		most = h
	}
	return most
}

// has reports whether a place in the face's plane, seen from a, is on the face.
func (f *topFace) has(q r3.Vec) bool {
	dd, dw, ww := r3.Norm2(f.d), r3.Dot(f.d, f.w), r3.Norm2(f.w)
	qd, qw := r3.Dot(q, f.d), r3.Dot(q, f.w)
	det := dd*ww - dw*dw
	u, v := qd*ww-qw*dw, qw*dd-qd*dw
	return u >= 0 && u <= det && v >= 0 && v <= det
}

// highestOn returns the greatest height over the disc of a segment p + u d.
func (r *rim) highestOn(p, d r3.Vec) float64 {
	hp, hd := r3.Dot(p, r.axis), r3.Dot(d, r.axis)
	if max(hp, hp+hd) <= 0 {
		return 0
	}
	p, d = r3.Sub(p, r3.Scale(hp, r.axis)), r3.Sub(d, r3.Scale(hd, r.axis))
	a, b, c := r3.Norm2(d), r3.Dot(p, d), r3.Norm2(p)-r.radius*r.radius
	u0, u1 := 0.0, 1.0
	if a == 0 {
		if c > 0 {
			return 0
		}
	} else {
		q := b*b - a*c
		if q < 0 {
			return 0
		}
		root := math.Sqrt(q)
		u0, u1 = max(u0, (-b-root)/a), min(u1, (-b+root)/a)
		if u0 > u1 {
			return 0
		}
	}
	return max(0, hp+u0*hd, hp+u1*hd)
}
