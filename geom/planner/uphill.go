package planner

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// A nozzle ends in a flat. Where it stands off square to the shell, one side of
// the flat reaches under the tip: uphill of it where the nozzle leans less than
// the shell, downhill where it leans more. A bead on that side must come later.

const (
	// squareEnough is the angle, radians, up to which the flat of a nozzle doesn't
	// reach a neighbour: it digs by a bead's distance times its sine, and a third
	// of a common shell, 0.06 mm at 0.4 mm, is the least that matters.
	squareEnough = 7 * math.Pi / 180
	// levelEnds is the difference of height, mm, under which either end of a bead
	// may come first.
	levelEnds = 0.1
)

// rise returns by what beads are ordered with a nozzle off square, or nil: the
// lower the value, the earlier.
func (o *Options) rise() func(p r2.Vec) float64 {
	if o.Lift == nil {
		return nil
	}
	switch off := math.Atan(r2.Norm(o.slope(r2.Add(o.Axis, r2.Vec{X: farOut})))) - o.Tilt; {
	case off > squareEnough: // the rim reaches uphill: the low side, where the lift is greatest, goes first
		return func(p r2.Vec) float64 { return -o.Lift.At(p) }
	case off < -squareEnough && off > -o.Tilt: // it reaches downhill
		return o.Lift.At
	}
	return nil
}

// farOut is how far from the axis the slope is asked for, mm: where rounding of
// an apex doesn't matter.
const farOut = 50

// upward appends the beads of an island by their mean rise.
func (s *order) upward(out []Bead, isl island, rise func(p r2.Vec) float64) []Bead {
	type ranked struct {
		bead Bead
		rise float64
	}
	var all []ranked
	isl.each(func(b *Bead) {
		sum := 0.0
		points := samples(b)
		for _, p := range points {
			sum += rise(p)
		}
		all = append(all, ranked{*b, sum / float64(len(points))})
	})
	slices.SortStableFunc(all, func(a, b ranked) int {
		switch {
		case a.rise < b.rise:
			return -1
		case a.rise > b.rise:
			return 1
		}
		return 0
	})
	// Beads of one height go to the nearest.
	band := 0.25 * s.o.Pitch * r2.Norm(s.o.slope(r2.Add(s.o.Axis, r2.Vec{X: farOut})))
	for i := 0; i < len(all); {
		var level []Bead
		from := all[i].rise
		for ; i < len(all) && all[i].rise <= from+band; i++ {
			level = append(level, all[i].bead)
		}
		out = s.nearest(out, level, s.at)
	}
	return out
}
