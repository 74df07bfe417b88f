package planner

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/spatial/r2"
)

// spokes are rays from the axis at the same azimuths in every layer. Each time
// the radius doubles, a new ray begins between every two. A band from r to 2 r
// with n rays is filled by n pitch / (3 pi r), which sets the radius where the
// first band begins.
func spokes(r Region, axis r2.Vec, pitch, fill float64) []stretch {
	const first = 8
	begin := first * pitch / (3 * math.Pi * fill)
	far := farthest(r, axis)
	var out []stretch
	for k := range first {
		out = append(out, clipRay(r, axis, 2*math.Pi*float64(k)/first, begin/2, far)...)
	}
	for n := 2 * first; ; n *= 2 {
		if begin *= 2; begin >= far {
			return out
		}
		for k := 1; k < n; k += 2 {
			out = append(out, clipRay(r, axis, 2*math.Pi*float64(k)/float64(n), begin, far)...)
		}
	}
}

// farthest is the distance of r's farthest point from p.
func farthest(r Region, p r2.Vec) float64 {
	far := 0.0
	for _, c := range r {
		for _, q := range c {
			far = math.Max(far, r2.Norm2(r2.Sub(q, p)))
		}
	}
	return math.Sqrt(far)
}

// clipRay returns what lies in r of a ray from radius lo to hi.
func clipRay(r Region, axis r2.Vec, azimuth, lo, hi float64) []stretch {
	s, c := math.Sincos(azimuth)
	dir := r2.Vec{X: c, Y: s}
	at := func(radius float64) r2.Vec { return r2.Add(axis, r2.Scale(radius, dir)) }
	var cuts []float64
	inside := false
	for _, contour := range r {
		p := r2.Sub(contour[len(contour)-1], axis)
		sideP := r2.Cross(dir, p)
		for _, v := range contour {
			q := r2.Sub(v, axis)
			sideQ := r2.Cross(dir, q)
			if (sideP <= 0) != (sideQ <= 0) {
				radius := r2.Dot(dir, r2.Add(p, r2.Scale(sideP/(sideP-sideQ), r2.Sub(q, p))))
				if radius > lo {
					inside = !inside // an odd number lies ahead of a start inside
					cuts = append(cuts, radius)
				}
			}
			p, sideP = q, sideQ
		}
	}
	if inside {
		cuts = append(cuts, lo)
	}
	sort.Float64s(cuts)
	var out []stretch
	for i := 0; i+1 < len(cuts); i += 2 {
		out = append(out, stretch{path: []r2.Vec{at(cuts[i]), at(math.Min(cuts[i+1], hi))}})
	}
	return out
}

// crossGap is how far the second lines of a grid stop short of the first ones'
// centres, in pitches, so that beads touch but don't run through each other.
const crossGap = 1 - mayOverlap

// densestGrid is the fill past which a grid's second lines are mere dots.
const densestGrid = 0.6

// gridSpacing solves fill = x + x (1 - 2 crossGap x) for x = pitch / spacing:
// the first lines run through, the second have gaps.
func gridSpacing(pitch, fill float64) float64 {
	return pitch * 2 * crossGap / (1 - math.Sqrt(1-2*crossGap*fill))
}

// grid is two families of lines square to each other; the second stops short
// of the first's.
func grid(r Region, pitch, fill float64) []stretch {
	return gridOf(r, pitch, gridSpacing(pitch, fill))
}

// gridOf is grid with lines of each family spacing apart.
func gridOf(r Region, pitch, spacing float64) []stretch {
	first := linesFamily(math.Pi/4, spacing)
	out := first.clip(r).strokes()
	for _, s := range linesFamily(3*math.Pi/4, spacing).clip(r).strokes() {
		out = append(out, first.interrupt(s.path[0], s.path[1], crossGap*pitch)...)
	}
	return out
}

// interrupt cuts the segment p-q, which runs square to the family's lines, gap
// short of each on both sides.
func (f *family) interrupt(p, q r2.Vec, gap float64) []stretch {
	if f.offset(p) > f.offset(q) {
		p, q = q, p
	}
	lo, hi := f.offset(p), f.offset(q)
	dir := r2.Unit(r2.Sub(q, p))
	at := func(offset float64) r2.Vec { return r2.Add(p, r2.Scale(offset-lo, dir)) }
	var out []stretch
	begin := lo
	from := int(math.Ceil((lo - gap - f.first) / f.spacing))
	for k := from; ; k++ {
		line := f.first + float64(k)*f.spacing
		end := math.Min(hi, line-gap)
		if end > begin {
			out = append(out, stretch{path: []r2.Vec{at(begin), at(end)}})
		}
		if begin = math.Max(begin, line+gap); begin >= hi {
			return out
		}
	}
}
