package planner

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"conewright/geom/polygon"
)

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
	lo, hi := f.extremes(r)
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
	last := math.Min(hi+slack-f.width/2, hi-fitMargin*pitch-f.bow(r, hi, pitch))
	if !centred {
		f.first = math.Max(f.first, lo+fitMargin*pitch+f.bow(r, lo, pitch))
	}
	f.spacing = (last - f.first) / (n - 1)
}

const (
	// fitMargin is how far inside a region's extremes the outermost curves of a
	// fitted family stay, in pitches, more than chords stray from arcs.
	fitMargin = 0.02
	// mostBow is the most that a chord strays from an arc, in pitches: what strays
	// farther isn't an arc about the axis.
	mostBow = 0.1
)

// extremes returns the least and the greatest offset in r's contours.
func (f *family) extremes(r Region) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, c := range r {
		for i, p := range c {
			lo = math.Min(lo, f.offset(p))
			hi = math.Max(hi, f.offset(p))
			if f.rings {
				lo = math.Min(lo, polygon.SegmentDistance(f.axis, p, c[polygon.Next(i, len(c))]))
			}
		}
	}
	return lo, hi
}

// bow is how far chords of r's contours stray from an arc at an offset. A ring nearer
// to them than that would be cut at every corner.
func (f *family) bow(r Region, offset, pitch float64) float64 {
	bow := 0.0
	if !f.rings {
		return bow
	}
	for _, c := range r {
		for i, p := range c {
			q := c[polygon.Next(i, len(c))]
			far := math.Max(f.offset(p), f.offset(q))
			near := polygon.SegmentDistance(f.axis, p, q)
			if near > offset-mostBow*pitch && far < offset+mostBow*pitch {
				bow = math.Max(bow, far-near)
			}
		}
	}
	return bow
}

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
			b := c[polygon.Next(i, len(c))]
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
