package job

import "conewright/geom/clearance"

// findBuried says of each zone that the head can't reach for what an earlier
// zone printed which one that is, and what to do: the single collisions tell
// places, not the mistake behind them. Of several parts it names the other part:
// nothing that is done to a zone mends what stands beside it.
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
		count := moves[pair{c.Zone, c.LaidZone}]
		if own, other := r.partName(c.Zone), r.partName(c.LaidZone); own != other {
			r.find(Stop, "collision", r.zoneName(c.Zone), c.Line, point(c.At),
				"part %s: the head meets part %s, which stands already, in %d moves: print part %s first, or seat the two further apart", own, other, count, own)
			continue
		}
		earlier := r.zoneName(c.LaidZone)
		r.find(Stop, "collision", r.zoneName(c.Zone), c.Line, point(c.At),
			"the head meets zone %s, which stands already, in %d moves: print this zone before %s, or move or tilt the cut between them", earlier, count, earlier)
	}
}

// partName returns which of several parts a zone belongs to; "" of one part alone.
func (r *run) partName(zone int) string {
	if zone < 0 || zone >= len(r.sources) {
		return ""
	}
	return r.sources[zone].region.Part
}
