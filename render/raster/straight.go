package raster

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// strayed is how far, pixels, points that are left out of a line may lie beside what
// is drawn: too little to be seen. Lines on parts of many facets have many points
// that run straight on.
const strayed = 0.1

// straight is a stretch of a polyline that is drawn as one segment: from a place to
// the newest point, as long as all points between lie near it.
type straight struct {
	from, to r2.Vec
	far      float64 // squared distance of to; 0: no point yet
	// Directions, from the place on, between which a segment passes all points.
	right, left r2.Vec
}

// take lengthens the stretch to a point; it reports false where that would leave
// points too far aside, or turns back.
func (s *straight) take(p r2.Vec, stray float64) bool {
	d := r2.Sub(p, s.from)
	far := r2.Norm2(d)
	if s.far > 0 && (far <= s.far || r2.Cross(s.right, d) < 0 || r2.Cross(d, s.left) < 0) {
		return false
	}
	t := stray / math.Sqrt(far)
	right, left := r2.Vec{X: d.X + t*d.Y, Y: d.Y - t*d.X}, r2.Vec{X: d.X - t*d.Y, Y: d.Y + t*d.X}
	if s.far == 0 || r2.Cross(s.right, right) > 0 {
		s.right = right
	}
	if s.far == 0 || r2.Cross(left, s.left) > 0 {
		s.left = left
	}
	s.to, s.far = p, far
	return true
}
