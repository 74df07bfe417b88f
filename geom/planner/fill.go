package planner

import (
	"math"

	"conewright/geom/polygon"
)

// Fill lines begin and end nearer to the walls than half a pitch, so that they
// bond: the overlap with the wall stays under a fifth of a bead.
const (
	capInset  = 0.45 // of a pitch: caps have a bead along their edge anyway
	fillInset = 0.3  // of a pitch
)

// fillIsland fills what the walls of an island leave: solid where it isn't
// covered, sparse elsewhere.
func fillIsland(i int, inside, cover Region, o *Options) ([]Bead, error) {
	solid, sparse, err := split(inside, cover, o)
	if err != nil {
		return nil, err
	}
	beads, err := fillSolid(i, solid, o)
	if err != nil {
		return nil, err
	}
	more, err := fillSparse(i, sparse, o)
	return append(beads, more...), err
}

// split divides the inside of an island. Caps reach a pitch further than what
// is open, to be anchored, and slivers of them are dropped.
func split(inside, cover Region, o *Options) (solid, sparse Region, err error) {
	if o.Fill >= 1 || len(cover) == 0 {
		return inside, nil, nil
	}
	if solid, err = polygon.Subtract(inside, cover); err != nil {
		return nil, nil, err
	}
	sliver := 0.3 * o.Pitch
	if solid, err = polygon.Inset(solid, sliver); err != nil || len(solid) == 0 {
		return nil, inside, err
	}
	if solid, err = polygon.Grow(solid, sliver+o.Pitch); err != nil {
		return nil, nil, err
	}
	if sparse, err = polygon.Subtract(inside, solid); err != nil {
		return nil, nil, err
	}
	solid, err = polygon.Intersect(inside, solid)
	return solid, sparse, err
}

// fillSolid covers r wholly, in rings or in lines by the pattern.
func fillSolid(i int, r Region, o *Options) ([]Bead, error) {
	if len(r) == 0 {
		return nil, nil
	}
	centres, err := polygon.Inset(r, capInset*o.Pitch)
	if err != nil {
		return nil, err
	}
	var beads []Bead
	for _, piece := range centres.Components() {
		f := o.capFamily(i)
		f.fit(piece, capInset*o.Pitch, o.Pitch)
		for _, b := range f.clip(piece).chains() {
			beads = append(beads, f.bead(b, Cap, o))
		}
	}
	return beads, nil
}

// capFamily covers solid areas of layer i.
func (o *Options) capFamily(i int) *family {
	if o.Pattern == PatternLines || o.Pattern == PatternGrid {
		return linesFamily(diagonal(i), o.Pitch)
	}
	return ringsFamily(o.Axis, o.Pitch)
}

// diagonal is the direction of lines in layer i: 45 or 135 degrees by turns.
func diagonal(i int) float64 { return math.Pi/4 + float64(i%2)*math.Pi/2 }

// fillSparse lays beads in r that fill the wanted share of it.
func fillSparse(i int, r Region, o *Options) ([]Bead, error) {
	if len(r) == 0 || o.Fill < leastFill {
		return nil, nil
	}
	edge := fillInset * o.Pitch
	if o.Walls == 0 {
		edge = capInset * o.Pitch // nothing to bond with
	}
	centres, err := polygon.Inset(r, edge)
	if err != nil {
		return nil, err
	}
	var list []stretch
	switch {
	case o.Pattern == PatternRings:
		list = ringsFamily(o.Axis, o.Pitch/o.Fill).clip(centres).strokes()
	case o.Pattern == PatternSpokes:
		list = spokes(centres, o.Axis, o.Pitch, o.Fill)
	case o.Pattern == PatternGrid && o.Fill <= densestGrid:
		list = grid(centres, o.Pitch, o.Fill)
	default:
		list = linesFamily(diagonal(i), o.Pitch/o.Fill).clip(centres).strokes()
	}
	var beads []Bead
	for _, s := range list {
		if polygon.PathLength(s.path, s.closed) >= o.Pitch {
			beads = append(beads, Bead{Path: s.path, Closed: s.closed, Kind: Fill})
		}
	}
	return beads, nil
}

// leastFill is the fill under which nothing is laid: lines 50 pitches apart
// carry nothing.
const leastFill = 0.02
