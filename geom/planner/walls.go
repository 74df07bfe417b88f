package planner

import "slices"

// walls lays o.Walls closed beads inside an island: the outermost half a line
// width from the outline, each next a pitch further. inside is what they leave
// for fill: it begins half a pitch past the centre of the last wall.
func walls(piece Region, o *Options) (isl island, inside Region, err error) {
	depth := o.LineWidth / 2
	if o.Walls == 0 {
		inside, err = inset(piece, depth-o.Pitch/2)
		return isl, inside, err
	}
	centre := piece
	for range o.Walls {
		if centre, err = inset(centre, depth); err != nil {
			return isl, nil, err
		}
		depth = o.Pitch
		if len(centre) == 0 {
			return isl, nil, nil
		}
		isl.walls = append(isl.walls, loops(centre))
	}
	inside, err = inset(centre, o.Pitch/2)
	return isl, inside, err
}

// loops are walls along all contours of r.
func loops(r Region) []Bead {
	beads := make([]Bead, 0, len(r))
	for _, c := range r {
		beads = append(beads, Bead{Path: slices.Clone(c), Closed: true, Kind: Wall})
	}
	return beads
}
