package deposition

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Filled reports that a place lies in a laid bead: a stadium across its way, as
// thick as the shell and as wide as the filament pushed makes it.
func (r *Run) Filled(p r3.Vec) bool {
	filled := false
	r.d.laid.near(p, r.d.log.Job.Bead, func(k *mark) bool {
		half := r.d.thickness(k.normal, int(k.zone)) / 2
		apart := k.apart(p)
		v, u := r3.Dot(apart, k.normal), r3.Dot(apart, k.side)
		along := r3.Norm2(apart) - v*v - u*u
		u = math.Max(0, math.Abs(u)-math.Max(0, k.width/2-half))
		filled = u*u+v*v <= half*half && along < 1e-4
		return filled
	})
	return filled
}

// First is how far from a place, along a unit direction, the first bead is met;
// most where none is met before.
func (r *Run) First(from, toward r3.Vec, most float64) float64 {
	const step = 0.005
	for s := 0.0; s < most; s += step {
		if r.Filled(r3.Add(from, r3.Scale(s, toward))) {
			return s
		}
	}
	return most
}
