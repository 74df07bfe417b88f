package job

import "conewright/geom/clearance"

// findBuried says of each zone that the head can't reach for what an earlier
// zone printed which one that is, and what to do: the single collisions tell
// places, not the mistake behind them.
func (r *run) findBuried(rep *clearance.Report) {
	type pair struct{ zone, laid int }
	moves := map[pair]int{}
	var first []clearance.Collision // of each pair, in the order of the file
	for _, c := range rep.Collisions {
		if c.Target != clearance.Material || c.LaidZone < 0 || c.LaidZone == c.Zone {
			continue
		}
		p := pair{c.Zone, c.LaidZone}
		if moves[p] == 0 {
			first = append(first, c)
		}
		moves[p] += c.Moves
	}
	for _, c := range first {
		earlier := r.zoneName(c.LaidZone)
		r.find(Stop, "collision", r.zoneName(c.Zone), c.Line, point(c.At),
			"the head meets zone %s, which stands already, in %d moves: print this zone before %s, or move or tilt the cut between them", earlier, moves[pair{c.Zone, c.LaidZone}], earlier)
	}
}
