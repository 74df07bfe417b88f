package planner

import (
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"conewright/geom/message"
	"conewright/geom/polygon"
)

// Skirt returns so many rings round the footprint, one layer high on the bed,
// distance mm from it to the innermost ring's edge: they start the flow before
// the part begins. The innermost is laid first, since a head that leans outward
// reaches over what isn't laid yet. Rings that would run into each other become one, and only what lies
// outermost gets any: nothing is laid in a hole of the footprint.
//
// Of the options, LayerHeight, BeadArea, Pitch, LineWidth, Filament, the speeds,
// Retract, Seam and Axis count. It fails on options that make no sense and on a
// footprint without area.
func Skirt(footprint Region, rings int, distance float64, o Options) (*Motion, error) {
	o, err := o.filled()
	if err != nil {
		return nil, err
	}
	whole, err := polygon.Union(footprint)
	if err != nil {
		return nil, message.Errorf("skirt: %s", err)
	}
	whole = outermost(whole)
	if len(whole) == 0 {
		return nil, message.Errorf("nothing stands on the bed")
	}
	var area Region
	isl := island{walls: make([][]Bead, rings)}
	for i := range isl.walls {
		ring, err := polygon.GrowRound(whole, distance+o.LineWidth/2+float64(i)*o.Pitch)
		if err != nil {
			return nil, message.Errorf("skirt: %s", err)
		}
		for _, c := range outermost(ring) {
			if s := polygon.Simplify(c, polygon.ContourTolerance); s != nil {
				isl.walls[rings-1-i] = append(isl.walls[rings-1-i], Bead{Path: s, Closed: true, Kind: Wall})
				area = append(area, s)
			}
		}
	}
	o.OutsideIn = false
	order := newOrder(&o)
	return &Motion{
		Layers:  []Layer{{Z: o.LayerHeight, Region: area, Beads: order.layer(0, []island{isl})}},
		Options: o,
	}, nil
}

// outermost drops the holes of a clean region and what lies in them.
func outermost(r Region) Region {
	r = slices.DeleteFunc(slices.Clone(r), func(c []r2.Vec) bool { return polygon.SignedArea(c) <= 0 })
	out, err := polygon.Union(r) // nonzero: what lies in another's hole is swallowed
	if err != nil {
		return r
	}
	return out
}
