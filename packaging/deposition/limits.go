package deposition

import "fmt"

// What a printable plan keeps to.
const (
	mostHanging   = 20.0 // mm of runs over 5 mm with nothing under them
	mostDugShare  = 0.02 // of bead length near square
	mostTravelDug = 50.0 // mm
)

// Overhang is the part's area that no shell holds, by the run's own log: what
// hangs there is the plan's fault, not the beads'.
func (r *Run) Overhang() float64 {
	sum := 0.0
	for _, z := range r.d.zones {
		if z.OverhangArea != nil {
			sum += *z.OverhangArea
		}
		if z.MidairStarts != nil {
			sum += float64(*z.MidairStarts)
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
	if r.DugShare() > mostDugShare {
		faults = append(faults, fmt.Sprintf("%.1f %% of the bead length is dug by the rim, deepest %v", 100*r.DugShare(), r.DeepestBead))
	}
	if r.TravelDug > mostTravelDug {
		faults = append(faults, fmt.Sprintf("%.0f mm of travels dig, deepest %v", r.TravelDug, r.DeepestMove))
	}
	return faults
}
