package deposition

import "fmt"

// What a printable plan keeps to.
const (
	mostHanging   = 20.0 // mm of runs over 5 mm with nothing under them
	mostDugShare  = 0.02 // of bead length near square
	mostTravelDug = 50.0 // mm
)

// Faults lists the limits that a run doesn't keep.
func (r *Result) Faults() []string {
	var faults []string
	if r.Hanging > mostHanging {
		faults = append(faults, fmt.Sprintf("%.0f mm of beads hang, longest %v", r.Hanging, r.LongestHang))
	}
	if r.Air > 0 {
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
