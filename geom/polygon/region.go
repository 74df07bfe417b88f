// Package polygon holds areas in plan: what contours enclose, unite, have in
// common, and how they shrink and grow.
//
// It is the one door to the polygon library. The library panics on rare
// degenerate input: here that is an error, after it was tried in turned frames.
// An error never means that there is nothing.
package polygon

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Region is an area bounded by closed contours, solid on their left: outer
// contours run counter-clockwise, holes clockwise. The first point of a contour
// isn't repeated at its end.
type Region [][]r2.Vec

// SignedArea is positive for a counter-clockwise contour (shoelace formula,
// taken from the first point so that far-off parts lose no digits).
func SignedArea(c []r2.Vec) float64 {
	sum := 0.0
	for i := 1; i+1 < len(c); i++ {
		sum += r2.Cross(r2.Sub(c[i], c[0]), r2.Sub(c[i+1], c[0]))
	}
	return sum / 2
}

// Area is the region's area, mm2.
func (r Region) Area() float64 {
	sum := 0.0
	for _, c := range r {
		sum += SignedArea(c)
	}
	return sum
}

// Bounds is the least box about all contours; of no contours, an empty one at
// the origin.
func (r Region) Bounds() r2.Box {
	lo := r2.Vec{X: math.Inf(1), Y: math.Inf(1)}
	hi := r2.Scale(-1, lo)
	for _, c := range r {
		for _, p := range c {
			lo.X, lo.Y = math.Min(lo.X, p.X), math.Min(lo.Y, p.Y)
			hi.X, hi.Y = math.Max(hi.X, p.X), math.Max(hi.Y, p.Y)
		}
	}
	if lo.X > hi.X {
		return r2.Box{}
	}
	return r2.Box{Min: lo, Max: hi}
}

// Centre is the middle of the region's bounding box; the origin if it is empty.
func (r Region) Centre() r2.Vec {
	box := r.Bounds()
	return r2.Scale(0.5, r2.Add(box.Min, box.Max))
}

// Length is the total length of all contours.
func (r Region) Length() float64 {
	sum := 0.0
	for _, c := range r {
		sum += PathLength(c, true)
	}
	return sum
}

// Contains reports whether p lies inside (even-odd rule; a point on the
// boundary may count either way).
func (r Region) Contains(p r2.Vec) bool {
	in := false
	for _, c := range r {
		if ContourContains(c, p) {
			in = !in
		}
	}
	return in
}

// ContourContains reports whether p lies inside one contour (even-odd rule).
func ContourContains(c []r2.Vec, p r2.Vec) bool {
	in := false
	for i, a := range c {
		b := c[Next(i, len(c))]
		if (a.Y <= p.Y) != (b.Y <= p.Y) && p.X < a.X+(p.Y-a.Y)*(b.X-a.X)/(b.Y-a.Y) {
			in = !in
		}
	}
	return in
}

// CrossedBy reports whether the segment a-b meets any contour.
func (r Region) CrossedBy(a, b r2.Vec) bool {
	lo := r2.Vec{X: math.Min(a.X, b.X), Y: math.Min(a.Y, b.Y)}
	hi := r2.Vec{X: math.Max(a.X, b.X), Y: math.Max(a.Y, b.Y)}
	d := r2.Sub(b, a)
	for _, c := range r {
		p := c[len(c)-1]
		for _, q := range c {
			if !(p.X < lo.X && q.X < lo.X || p.X > hi.X && q.X > hi.X || p.Y < lo.Y && q.Y < lo.Y || p.Y > hi.Y && q.Y > hi.Y) {
				e := r2.Sub(q, p)
				sameSide := r2.Cross(d, r2.Sub(p, a))*r2.Cross(d, r2.Sub(q, a)) > 0
				if !sameSide && r2.Cross(e, r2.Sub(a, p))*r2.Cross(e, r2.Sub(b, p)) <= 0 {
					return true
				}
			}
			p = q
		}
	}
	return false
}

// Components splits a clean region into its islands, each an outer contour
// followed by its holes, in the order of the outer contours.
func (r Region) Components() []Region {
	var islands []Region
	var areas []float64
	for _, c := range r {
		if a := SignedArea(c); a > 0 {
			islands = append(islands, Region{c})
			areas = append(areas, a)
		}
	}
	if len(islands) == 1 {
		return []Region{r}
	}
	for _, c := range r {
		if SignedArea(c) > 0 {
			continue
		}
		home := -1
		for i, isl := range islands {
			if (home < 0 || areas[i] < areas[home]) && mostlyInside(c, isl[0]) {
				home = i
			}
		}
		if home >= 0 {
			islands[home] = append(islands[home], c)
		}
	}
	return islands
}

// mostlyInside judges by middles of edges, since a hole may touch its outline
// in a vertex.
func mostlyInside(hole, outline []r2.Vec) bool {
	const votes = 5
	inside := 0
	for v := range votes {
		i := v * len(hole) / votes
		mid := r2.Scale(0.5, r2.Add(hole[i], hole[Next(i, len(hole))]))
		if ContourContains(outline, mid) {
			inside++
		}
	}
	return 2*inside > votes
}

// Distance is from p to the nearest contour of r.
func (r Region) Distance(p r2.Vec) float64 {
	best := math.Inf(1)
	for _, c := range r {
		for i, a := range c {
			best = math.Min(best, SegmentDistance(p, a, c[Next(i, len(c))]))
		}
	}
	return best
}

// SegmentDistance is from p to the segment a-b.
func SegmentDistance(p, a, b r2.Vec) float64 {
	return r2.Norm(r2.Sub(p, NearestOnSegment(p, a, b)))
}

// NearestOnSegment is the point of the segment a-b nearest to p.
func NearestOnSegment(p, a, b r2.Vec) r2.Vec {
	d := r2.Sub(b, a)
	l2 := r2.Norm2(d)
	if l2 == 0 {
		return a
	}
	t := math.Max(0, math.Min(1, r2.Dot(r2.Sub(p, a), d)/l2))
	return r2.Add(a, r2.Scale(t, d))
}

// PathLength is the length of a path; closed counts the way back to its start.
func PathLength(p []r2.Vec, closed bool) float64 {
	sum := 0.0
	for i := 1; i < len(p); i++ {
		sum += r2.Norm(r2.Sub(p[i], p[i-1]))
	}
	if closed && len(p) > 1 {
		sum += r2.Norm(r2.Sub(p[0], p[len(p)-1]))
	}
	return sum
}

// Next is the index after i on a contour of n points.
func Next(i, n int) int {
	if i+1 == n {
		return 0
	}
	return i + 1
}
