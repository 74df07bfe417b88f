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
func fillIsland(i int, inside Region, cover cover, o *Options) ([]Bead, error) {
	solid, sparse, err := split(inside, cover.buried, o)
	if err != nil {
		return nil, err
	}
	beads, err := fillSolid(i, solid, o)
	if err != nil {
		return nil, err
	}
	crossing, sparse, err := splitRoofed(sparse, cover.roofed, o)
	if err != nil {
		return nil, err
	}
	more, err := fillSparse(i, crossing, o.crossing())
	if err != nil {
		return nil, err
	}
	rest, err := fillSparse(i, sparse, o)
	return append(append(beads, more...), rest...), err
}

// fillFollowsCaps reports whether the sparse fill runs along the beads of a cap,
// which would then hang between its lines: rings always, a grid with one of its
// families.
func (o *Options) fillFollowsCaps() bool {
	return (o.Pattern == PatternRings || o.Pattern == PatternGrid) && o.Fill >= leastFill
}

// crossing returns the options of the fill right under a roof: it crosses the
// roof's rings, and its lines lie so near to each other that the roof's beads
// reach from one to the next.
func (o *Options) crossing() *Options {
	c := *o
	if o.Pattern == PatternGrid { // nearer lines do, on a slope longer by up to the root of two
		x := o.Pitch / (roofReach / math.Sqrt2)
		c.Fill = max(o.Fill, min(densestGrid, 2*x-2*crossGap*x*x))
		return &c
	}
	c.Pattern = PatternSpokes
	c.Fill = max(o.Fill, widestSpokes*o.Pitch/roofReach)
	return &c
}

const (
	// roofReach is how far a roof's bead goes from one line under it to the next,
	// mm, at most: well under the 5 mm that count as hanging (CONTRACT).
	roofReach = 3.5
	// widestSpokes is the greatest distance of spokes, in pitches over fill: their
	// number doubles with the radius, so it swings from 2/3 to 4/3.
	widestSpokes = 4.0 / 3
)

// splitRoofed parts what lies right under a roof from the rest of the fill.
// Strips narrower than a roof's growth from layer to layer aren't worth it: there
// each layer of the roof leans on the one before.
func splitRoofed(sparse, roofed Region, o *Options) (crossing, rest Region, err error) {
	if len(sparse) == 0 || len(roofed) == 0 {
		return nil, sparse, nil
	}
	strip := o.Pitch
	if crossing, err = polygon.Intersect(sparse, roofed); err != nil {
		return nil, nil, err
	}
	if crossing, err = polygon.Inset(crossing, strip); err != nil || len(crossing) == 0 {
		return nil, sparse, err
	}
	if crossing, err = polygon.Grow(crossing, strip); err != nil {
		return nil, nil, err
	}
	if rest, err = polygon.Subtract(sparse, crossing); err != nil {
		return nil, nil, err
	}
	crossing, err = polygon.Intersect(sparse, crossing)
	return crossing, rest, err
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
	if o.rise() != nil {
		return o.contourFamily()
	}
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
