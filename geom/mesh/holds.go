package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Holds reports whether a closed mesh holds a point: whether its facets fill more than
// half of all directions seen from there. On the surface itself either may be told.
// The solid angle of a triangle is that of van Oosterom and Strackee (IEEE Trans.
// Biomed. Eng. 30, 1983; from memory).
func (m *Mesh) Holds(p r3.Vec) bool {
	angle := 0.0
	for i := range m.Facets {
		a, b, c := m.Corners(i)
		a, b, c = r3.Sub(a, p), r3.Sub(b, p), r3.Sub(c, p)
		la, lb, lc := r3.Norm(a), r3.Norm(b), r3.Norm(c)
		volume := r3.Dot(a, r3.Cross(b, c))
		below := la*lb*lc + r3.Dot(a, b)*lc + r3.Dot(b, c)*la + r3.Dot(c, a)*lb
		angle += 2 * math.Atan2(volume, below)
	}
	return math.Abs(angle) > 2*math.Pi // 4 pi inside, 0 outside
}
