package clearance

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// flat is a short cut for what nearly all printed material is: under the shell
// on which the head stands square. Material no higher than rise over the plane
// through the tip, square on the nozzle axis, is at least gap from the profile
// wherever it is tip_free from the tip.
type flat struct{ rise, gap float64 }

// levelled finds the gap for a rise that leaves room for beads that stand
// proud by half their height, as chords and rounding and curved shells make
// them. Moving toward the head's nearest place only stops at the border of the
// region, so it is enough to look along that: the arc about the tip, and the
// plane from there out.
func (s *shape) levelled() flat {
	f := flat{rise: 0.1, gap: math.Inf(1)}
	r := s.free
	const n = 200
	near := func(a, rho, step float64) {
		f.gap = min(f.gap, s.profileDistance(a, rho)-step)
	}
	for i := range n + 1 {
		sin, cos := math.Sincos(math.Pi * float64(i) / n)
		if a := -r * cos; a <= f.rise+math.Pi*r/n {
			near(a, r*sin, math.Pi*r/n)
		}
	}
	const step = 0.01
	for rho := max(0, r-f.rise-step); rho <= s.rMax+5; rho += step {
		near(f.rise, rho, step)
	}
	return f
}

// under reports whether everything within r of the local place c, and reaching
// along the nozzle axis no further than up from it, stays clear of the profile
// in the piece by the short cut, and further from it than is noted.
func (s *search) under(c r3.Vec, r, up float64) bool {
	h, f := s.c.head, &s.pose
	room := h.flat.rise - (c.X*h.sin + c.Z*h.cos + up)
	return f.flat && room >= 0 && room >= f.rise(h, c, r)
}
