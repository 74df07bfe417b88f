package register

import (
	"cmp"
	"math"
	"slices"
)

// spiral is a run of beads that rise without a break: heights with beads, from
// below. A file may hold several, with level layers between where the part has
// more than one outline.
type spiral []layer

const (
	// runGap is how far apart, in layers, the middles of two beads of one spiral
	// can be: less than a layer, even where a turn has but two beads.
	runGap = 0.9
	// samePitch is how far a spiral's pitch may seem off the layer height and
	// still be it.
	samePitch = 0.04
	// turnsSeen is about how many turns are looked at for the pitch.
	turnsSeen = 100
)

func (s spiral) low() float64  { return s[0].z }
func (s spiral) high() float64 { return s[len(s)-1].z }

// runs cuts rising heights, from below, into spirals.
func runs(rising []layer, h float64) []spiral {
	var list []spiral
	begin := 0
	for i := range rising {
		if i+1 == len(rising) || rising[i+1].z-rising[i].z > runGap*h {
			list = append(list, spiral(rising[begin:i+1:i+1]))
			begin = i + 1
		}
	}
	return list
}

// measure returns the length of all spirals' beads and the height that they
// climb.
func measure(spirals []spiral) (length, climb float64) {
	for _, s := range spirals {
		length += lengthOf(s)
		climb += s.high() - s.low()
	}
	return length, climb
}

// stairs makes spirals of rising heights, and moves short level stretches among
// their beads to them: beads that are too short to rise by a digit.
func stairs(flat, rising []layer, h float64) (level []layer, spirals []spiral) {
	spirals = runs(rising, h)
	short := make([][]layer, len(spirals))
	for _, l := range flat {
		k := slices.IndexFunc(spirals, func(s spiral) bool { return l.z > s.low()-h && l.z < s.high()+h })
		if k >= 0 && l.length < spirals[k].near(l.z, h)/4 {
			short[k] = append(short[k], l)
		} else {
			level = append(level, l)
		}
	}
	for k, s := range spirals {
		spirals[k] = append(s, short[k]...)
		slices.SortStableFunc(spirals[k], func(a, b layer) int { return cmp.Compare(a.z, b.z) })
	}
	return level, spirals
}

// near returns the length of the spiral's beads nearer to z than h in height: one
// turn or two.
func (s spiral) near(z, h float64) float64 {
	i, _ := slices.BinarySearchFunc(s, z-h, func(l layer, z float64) int { return cmp.Compare(l.z, z) })
	sum := 0.0
	for ; i < len(s) && s[i].z < z+h; i++ {
		sum += s[i].length
	}
	return sum
}

// pitch is the rise of a turn: that of a layer, unless lengths say otherwise.
// Each turn is as long as the outline, less the inset of its bead.
func pitch(spirals []spiral, o *Options, perimeter func(z float64) float64) float64 {
	length, climb := measure(spirals)
	if climb == 0 {
		return o.LayerHeight
	}
	h := o.LayerHeight
	step := h * max(1, math.Ceil(climb/h/turnsSeen))
	around, n := 0.0, 0
	for _, s := range spirals { // in the middles of turns, were they h high
		for z := s.low() + h/2; z <= max(s.high()-h/2, s.low()+h/2); z += step {
			if p := perimeter(z); p > 0 {
				around += p - math.Pi*o.LineWidth
				n++
			}
		}
	}
	// Half of a spiral's first bead and half of its last don't count as climbed.
	unseen := 0.0
	for _, s := range spirals {
		unseen += s.longest()
	}
	if p := climb * around / float64(max(n, 1)) / length; p > h/4 && p < h*4 && math.Abs(p-h) > (samePitch+unseen/climb)*h {
		return p
	}
	return h
}

// longest is the greatest rise between the middles of two beads.
func (s spiral) longest() float64 {
	most := 0.0
	for i := range s[1:] {
		most = max(most, s[i+1].z-s[i].z)
	}
	return most
}

// slabs cuts the beads of a spiral into slabs of one turn, counted from the
// level layer below where there is one.
func (s spiral) slabs(pitch float64, level []layer) []layer {
	low := s.low()
	for i := range level {
		if z := level[i].z; z <= s.low() && s.low()-z < pitch {
			low = z
		}
	}
	var list []layer
	for i := range s {
		slab := low + (math.Floor((s[i].z-low)/pitch)+0.5)*pitch
		if n := len(list); n > 0 && list[n-1].z == slab {
			list[n-1].merge(&s[i])
			continue
		}
		l := s[i]
		l.z, l.h, l.spiral = slab, pitch, true
		list = append(list, l)
	}
	return list
}
