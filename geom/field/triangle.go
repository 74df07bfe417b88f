package field

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// GapInside returns the greatest gap between the lift and its linear
// interpolation strictly inside the triangle a b c (in plan), and where. ok is
// false where the greatest gap lies on an edge: then Along tells it.
//
// The gap is concave (the lift is convex or its negative), so it has its
// maximum inside only where the lift's gradient equals the interpolation's,
// g: s p / sqrt(p^2 + round^2) = g, solved by p = round k / sqrt(1 - k^2)
// along g with k = |g| / s. With round = 0 that is the axis itself. For a field
// that isn't built in the greatest gap is searched, sides included, and at is a
// place well inside (gapInside); a gap of up to allowed, mm, may then be told as less.
func (f *Field) GapInside(a, b, c r2.Vec, allowed float64) (gap float64, at r2.Vec, ok bool) {
	if f.kind == own {
		return f.answers.gapInside(a, b, c, allowed)
	}
	if f.kind != cone || f.slope == 0 {
		return 0, r2.Vec{}, false
	}
	ab, ac := r2.Sub(b, a), r2.Sub(c, a)
	det := r2.Cross(ab, ac)
	if math.Abs(det) < 1e-12 {
		return 0, r2.Vec{}, false
	}
	fa, fb, fc := f.At(a), f.At(b), f.At(c)
	g := r2.Vec{
		X: ((fb-fa)*ac.Y - (fc-fa)*ab.Y) / det,
		Y: ((fc-fa)*ab.X - (fb-fa)*ac.X) / det,
	}
	at = f.axis
	if f.round > 0 {
		k := r2.Norm(g) / f.slope
		if k >= 1 {
			return 0, r2.Vec{}, false
		}
		scale := f.round / math.Sqrt(1-k*k) / f.signed()
		at = r2.Add(at, r2.Scale(scale, g))
	}
	d := r2.Sub(at, a)
	v, w := r2.Cross(d, ac)/det, r2.Cross(ab, d)/det
	if v <= 0 || w <= 0 || v+w >= 1 {
		return 0, r2.Vec{}, false
	}
	return math.Abs(fa + v*(fb-fa) + w*(fc-fa) - f.At(at)), at, true
}

// InsideIsExact reports that GapInside is exact, and not a search that may miss a
// little.
func (f *Field) InsideIsExact() bool { return f.kind != own }
