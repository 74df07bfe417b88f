package field

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Bend returns a bound of the lift's second derivative, in any direction, in
// the disc of the given radius about p, 1/mm; +Inf where the gradient jumps in
// it. A chord of length l in the disc is off the lift by at most bend l^2 / 8,
// a triangle of longest side l by at most bend l^2 / 6 (it lies in a disc of
// radius l / sqrt 3, Jung's theorem).
func (f *Field) Bend(p r2.Vec, radius float64) float64 {
	switch f.kind {
	case cone: // the greatest is slope / sqrt(r^2 + round^2), at the disc's nearest place
		if f.slope == 0 {
			return 0
		}
		r := math.Max(0, f.away(p)-radius)
		return f.slope / math.Sqrt(r*r+f.round*f.round)
	case own:
		return f.answers.Bend(p, radius)
	}
	return 0
}

// away returns the distance from a cone's axis.
func (f *Field) away(p r2.Vec) float64 {
	dx, dy := p.X-f.axis.X, p.Y-f.axis.Y
	return math.Sqrt(dx*dx + dy*dy)
}

// NormalRate returns a bound of how fast the shells' unit normal changes in the
// disc of the given radius about p, 1/mm; +Inf where it jumps.
func (f *Field) NormalRate(p r2.Vec, radius float64) float64 {
	if f.kind == cone {
		// The gradient's derivative is at most s / R, R = sqrt(r^2 + round^2), and
		// making (g, 1) a unit vector divides differences by its length at least.
		r := math.Max(0, f.away(p)-radius)
		s2 := f.slope * f.slope
		return math.Sqrt(s2 / (r*r + f.round*f.round + s2*r*r))
	}
	bend := f.Bend(p, radius)
	if f.kind != own || math.IsInf(bend, 1) {
		return bend
	}
	least, _ := f.answers.Slopes(p, radius)
	return bend / math.Sqrt(1+least*least)
}

// NormalBend returns a bound of the second derivative of the shells' unit
// normal in the disc of the given radius about p, 1/mm2; +Inf where none is
// known.
func (f *Field) NormalBend(p r2.Vec, radius float64) float64 {
	switch f.kind {
	case cone:
		// With R as above the gradient's second derivative is at most 2 s / R^2,
		// and making a unit vector of it adds at most twice the square of its first.
		r := math.Max(0, f.away(p)-radius)
		return 2 * (f.slope + f.slope*f.slope) / (r*r + f.round*f.round)
	case own:
		return math.Inf(1)
	}
	return 0
}

// Slopes returns the least and the greatest length of the gradient in the disc
// of the given radius about p.
func (f *Field) Slopes(p r2.Vec, radius float64) (least, most float64) {
	switch f.kind {
	case cone:
		at := func(r float64) float64 {
			if r <= 0 {
				return 0
			}
			return f.slope * r / math.Sqrt(r*r+f.round*f.round)
		}
		r := f.away(p)
		return at(r - radius), at(r + radius)
	case own:
		return f.answers.Slopes(p, radius)
	}
	return f.slope, f.slope
}

// Apart returns how far p is from the nearest place where the gradient vanishes
// or the azimuth isn't defined (an axis); +Inf where there is none. Off creases
// the azimuth turns by at most 1 / Apart radians a millimetre.
func (f *Field) Apart(p r2.Vec) float64 {
	switch f.kind {
	case cone:
		return r2.Norm(r2.Sub(p, f.axis))
	case own:
		return f.answers.Apart(p)
	}
	return math.Inf(1)
}

// Within reports that p is nearer than distance to a place where the gradient
// vanishes or the azimuth isn't defined: Apart(p) < distance, but quicker.
func (f *Field) Within(p r2.Vec, distance float64) bool {
	switch f.kind {
	case cone:
		dx, dy := p.X-f.axis.X, p.Y-f.axis.Y
		return dx*dx+dy*dy < distance*distance
	case own:
		return f.answers.Apart(p) < distance
	}
	return false
}

// Crease returns how far p is from the nearest place where the gradient jumps
// from one side's to the other's; +Inf where there is none.
func (f *Field) Crease(p r2.Vec) float64 {
	if f.kind == own {
		return f.answers.Crease(p)
	}
	return math.Inf(1)
}

// Snap returns the place nearest to p where the lift has a corner, if it is
// nearer than distance, else p.
func (f *Field) Snap(p r2.Vec, distance float64) r2.Vec {
	if f.kind == cone && f.Within(p, distance) {
		return f.axis
	}
	return p
}
