package deposition

import (
	"fmt"
	"math"
)

// What a printable plan keeps to.
const (
	mostHanging   = 20.0 // mm of runs over 5 mm with nothing under them
	mostDugShare  = 0.02 // of bead length near square
	mostTravelDug = 50.0 // mm
)

// Overhang is the part's area that neither a shell nor support holds, by the run's own
// log: what hangs there is the plan's fault, not the beads'.
func (r *Run) Overhang() float64 {
	sum := 0.0
	for _, z := range r.d.zones {
		if z.UnheldArea != nil {
			sum += *z.UnheldArea
		}
		if z.UnheldStarts != nil {
			sum += float64(*z.UnheldStarts)
		}
	}
	return sum
}

// Faults lists the limits that a run doesn't keep. Where a surface hangs
// already, beads may.
func (r *Run) Faults() []string {
	var faults []string
	const little = 1.0 // mm2
	if hangs := r.Overhang() > little; !hangs && r.Hanging > mostHanging {
		faults = append(faults, fmt.Sprintf("%.0f mm of beads hang, longest %v", r.Hanging, r.LongestHang))
	} else if !hangs && r.Air > 0 {
		faults = append(faults, fmt.Sprintf("%.0f mm of beads are laid in the air, longest %v", r.Air, r.LongestAir))
	}
	return append(faults, r.RimFaults()...)
}

// RimFaults lists the limits of what the nozzle's rim ploughs that a run doesn't
// keep.
func (r *Run) RimFaults() []string {
	var faults []string
	if r.DugShare() > mostDugShare {
		faults = append(faults, fmt.Sprintf("%.1f %% of the bead length is dug by the rim, deepest %v", 100*r.DugShare(), r.DeepestBead))
	}
	if r.TravelDug > mostTravelDug {
		faults = append(faults, fmt.Sprintf("%.0f mm of travels dig, deepest %v", r.TravelDug, r.DeepestMove))
	}
	return faults
}

// Disagreements tells where the run's own judgement of its beads differs from
// this one.
func (r *Run) Disagreements() []string {
	m := r.d.log.Motion
	if m == nil || m.Hanging == nil || m.LongestHang == nil || m.GreatestDig == nil {
		return []string{"the run doesn't judge its beads"}
	}
	const share, length, depth = 0.1, 10.0, 0.03
	var told []string
	if off := math.Abs(*m.Hanging - r.Hanging); off > length && off > share*r.Hanging {
		told = append(told, fmt.Sprintf("the run says %.0f mm hang, here %.0f", *m.Hanging, r.Hanging))
	}
	if off := math.Abs(*m.LongestHang - r.LongestHang.Length); off > length && off > share*r.LongestHang.Length {
		told = append(told, fmt.Sprintf("the run says the longest hangs %.1f mm, here %.1f", *m.LongestHang, r.LongestHang.Length))
	}
	if off := math.Abs(*m.GreatestDig - r.GreatestDig()); off > depth && off > share*r.GreatestDig() {
		told = append(told, fmt.Sprintf("the run says the rim digs %.3f mm, here %.3f", *m.GreatestDig, r.GreatestDig()))
	}
	return told
}
