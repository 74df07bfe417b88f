package clearance

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// reach tells, by two tables, of material that lies under a bound that it can't
// come nearer to the head's profile than need. What is under the tip
// (tip_free) doesn't count.
type reach struct {
	head *shape
	need float64
	// ceiling[i]: material that is i x ceilingStep or more from the nozzle axis and
	// no further than this along it, from the tip, is clear.
	ceiling []float64
	// shelf[i]: material near the tip under a plane whose normal is i x shelfStep
	// from the nozzle axis (as unit vectors) is clear where the plane is no further
	// than this from the tip. NaN: not asked yet.
	shelf []float64
}

const (
	ceilingStep = 0.1  // mm
	shelfStep   = 0.01 // some 0.6 degrees
	// shelfPlan is how far from the tip, in plan, planes are asked about.
	shelfPlan = 3.0 // mm
	// shelfSteepest is the least z of a plane's normal: steeper ones leave the
	// stretch that the table looks at.
	shelfSteepest = 0.5
)

func newReach(h *shape, need float64) *reach {
	r := &reach{head: h, need: need, ceiling: make([]float64, int((h.rMax+need)/ceilingStep)+1), shelf: make([]float64, int(1/shelfStep))}
	for i := range r.shelf {
		r.shelf[i] = math.NaN()
	}
	least := math.Inf(1)
	for i := len(r.ceiling) - 1; i >= 0; i-- {
		least = min(least, r.highest(float64(i)*ceilingStep))
		r.ceiling[i] = least
	}
	return r
}

// highest returns how far along the nozzle axis everything between rho and
// rho + ceilingStep from it is clear.
func (r *reach) highest(rho float64) float64 {
	need := r.need + ceilingStep/2
	top := r.head.a1 + r.need
	for a := r.head.a0 - 2*need; ; {
		if outer := rho + ceilingStep; outer*outer+a*a < r.head.free*r.head.free {
			a = math.Sqrt(r.head.free*r.head.free - outer*outer) // under the tip
		}
		d := r.head.profileDistance(a, rho+ceilingStep/2) - need
		switch {
		case d < 1e-3:
			return a - 1e-3
		case a > top:
			return math.Inf(1)
		}
		a += d
	}
}

// under reports whether material at rho or further from the nozzle axis, and no
// further than a along it, is clear.
func (r *reach) under(a, rho float64) bool {
	i := int(max(rho, 0) / ceilingStep)
	return i >= len(r.ceiling) || a <= r.ceiling[i]
}

// offset returns how far from the tip a plane may be for what is under it,
// within shelfPlan of the tip, to be clear, where its normal is from lo to hi
// from the nozzle axis (as unit vectors).
func (r *reach) offset(lo, hi float64) float64 {
	i, j := int(max(lo, 0)/shelfStep), int(hi/shelfStep)
	if j >= len(r.shelf) {
		return math.Inf(-1)
	}
	least := math.Inf(1)
	for ; i <= j; i++ {
		if math.IsNaN(r.shelf[i]) {
			r.shelf[i] = r.shelve((float64(i) + 0.5) * shelfStep)
		}
		least = min(least, r.shelf[i])
	}
	return least
}

// shelve finds the greatest offset by halving. More than a bead's height to
// either side is of no use.
func (r *reach) shelve(chord float64) float64 {
	lo, hi := -1.0, 0.5
	angle := 2 * math.Asin(chord/2)
	if !r.shelfClear(angle, lo) {
		return math.Inf(-1)
	}
	for hi-lo > 0.01 {
		if mid := (lo + hi) / 2; r.shelfClear(angle, mid) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

// shelfClear reports whether the half space under a plane, without the ball of
// tip_free about the tip, is clear. From any place of it the way toward the
// head's nearest place ends at its border, so it is enough to look there.
func (r *reach) shelfClear(angle, offset float64) bool {
	sin, cos := math.Sincos(angle)
	h := r.head
	// The ball's border under the plane, by the distance along the nozzle axis.
	if h.free > 0 && math.Abs(offset) < h.free {
		lowest := max(0, math.Acos(offset/h.free)-angle)
		const steps = 400
		for i := range steps + 1 {
			s, c := math.Sincos(lowest + (math.Pi-lowest)*float64(i)/steps)
			if h.profileDistance(h.free*c, h.free*s) < r.need+h.free*(math.Pi/steps/2+shelfStep) {
				return false
			}
		}
	}
	wide := (shelfPlan+1)/shelfSteepest + r.need
	return r.flatClear(sin, cos, offset, r3.Vec{Y: wide / 2}, wide, wide/2)
}

// flatClear looks at a rectangle of the plane: middle m.X along the plane's
// slope, m.Y across, by half its sides, which it halves where it must.
func (r *reach) flatClear(sin, cos, offset float64, m r3.Vec, hx, hy float64) bool {
	h := r.head
	a, b := offset*cos-m.X*sin, offset*sin+m.X*cos
	from := math.Sqrt(a*a + b*b + m.Y*m.Y)
	size := math.Hypot(hx, hy)
	if from+size < h.free {
		return true
	}
	d := h.profileDistance(a, math.Hypot(b, m.Y)) - (from+size)*shelfStep - r.need
	switch {
	case d >= size:
		return true
	case size < 0.005:
		return false
	case from >= h.free && d < -size:
		return false
	}
	if hx > hy {
		hx /= 2
		return r.flatClear(sin, cos, offset, r3.Vec{X: m.X - hx, Y: m.Y}, hx, hy) && r.flatClear(sin, cos, offset, r3.Vec{X: m.X + hx, Y: m.Y}, hx, hy)
	}
	hy /= 2
	return r.flatClear(sin, cos, offset, r3.Vec{X: m.X, Y: m.Y - hy}, hx, hy) && r.flatClear(sin, cos, offset, r3.Vec{X: m.X, Y: m.Y + hy}, hx, hy)
}
