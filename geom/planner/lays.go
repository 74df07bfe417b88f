package planner

import "conewright/geom/polygon"

// Lays reports whether a layer with this section, raw or clean, gets any bead:
// none where it is too small or too thin. It fails on options that make no
// sense.
func Lays(section Region, o Options) (bool, error) {
	o, err := o.filled()
	if err != nil {
		return false, err
	}
	r, err := polygon.Clean(section)
	if err != nil {
		return false, err
	}
	islands, err := planLayer(0, r, cover{}, &o)
	if err != nil {
		return false, err
	}
	beads := 0
	for _, isl := range islands {
		beads += len(isl.gaps) + len(isl.fill)
		for _, level := range isl.walls {
			beads += len(level)
		}
	}
	return beads > 0, nil
}
