package section

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"conewright/geom/polygon"
)

// Area returns the section's area, mm^2: outer contours less holes.
func (s *Section) Area() float64 {
	total := 0.0
	for _, c := range s.Contours {
		total += polygon.SignedArea(c)
	}
	return total
}

// Centroid returns the centre of the section's area; the middle of its bounds
// where it has none.
func (s *Section) Centroid() r2.Vec {
	bounds := s.Bounds()
	origin := r2.Scale(0.5, r2.Add(bounds.Min, bounds.Max)) // keeps the digits
	var moment r2.Vec
	twice := 0.0
	for _, c := range s.Contours {
		for i, p := range c {
			a, b := r2.Sub(p, origin), r2.Sub(c[(i+1)%len(c)], origin)
			cross := r2.Cross(a, b)
			twice += cross
			moment = r2.Add(moment, r2.Scale(cross, r2.Add(a, b)))
		}
	}
	if math.Abs(twice) <= 2*noArea {
		return origin
	}
	return r2.Add(origin, r2.Scale(1/(3*twice), moment))
}

// Bounds returns the least box about all contours; of no contours, an empty one
// at the origin.
func (s *Section) Bounds() r2.Box {
	if len(s.Contours) == 0 {
		return r2.Box{}
	}
	first := s.Contours[0][0]
	box := r2.Box{Min: first, Max: first}
	for _, c := range s.Contours {
		for _, p := range c {
			box.Min.X, box.Min.Y = min(box.Min.X, p.X), min(box.Min.Y, p.Y)
			box.Max.X, box.Max.Y = max(box.Max.X, p.X), max(box.Max.Y, p.Y)
		}
	}
	return box
}

// Holds reports whether p lies in the section: whether the contours wind about
// it (nonzero rule). A point on a contour may count either way.
func (s *Section) Holds(p r2.Vec) bool { return s.winding(p) != 0 }

// winding returns how often the contours run about p, counter-clockwise
// positive: in the section of a sound mesh 1 in solid, 0 outside and in holes.
func (s *Section) winding(p r2.Vec) int {
	winding := 0
	for _, c := range s.Contours {
		a := c[len(c)-1]
		for _, b := range c {
			if (a.Y <= p.Y) != (b.Y <= p.Y) { // crosses the level of p
				left := r2.Cross(r2.Sub(b, a), r2.Sub(p, a))
				switch {
				case b.Y > a.Y && left > 0:
					winding++
				case b.Y < a.Y && left < 0:
					winding--
				}
			}
			a = b
		}
	}
	return winding
}
