package planner

import "math"

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
	if solid, err = subtract(inside, cover); err != nil {
		return nil, nil, err
	}
	sliver := 0.3 * o.Pitch
	if solid, err = inset(solid, sliver); err != nil || len(solid) == 0 {
		return nil, inside, err
	}
	if solid, err = grow(solid, sliver+o.Pitch); err != nil {
		return nil, nil, err
	}
	if sparse, err = subtract(inside, solid); err != nil {
		return nil, nil, err
	}
	solid, err = intersect(inside, solid)
	return solid, sparse, err
}

// fillSolid covers r wholly, in rings or in lines by the pattern.
func fillSolid(i int, r Region, o *Options) ([]Bead, error) {
	if len(r) == 0 {
		return nil, nil
	}
	centres, err := inset(r, capInset*o.Pitch)
	if err != nil {
		return nil, err
	}
	var beads []Bead
	for _, piece := range centres.components() {
		f := ringsFamily(o.Axis, o.Pitch)
		if o.Pattern == PatternLines {
			f = linesFamily(math.Pi/4+float64(i%2)*math.Pi/2, o.Pitch)
		}
		f.fit(piece, capInset*o.Pitch, o.Pitch)
		for _, b := range f.clip(piece).chains() {
			beads = append(beads, f.bead(b, Cap, o))
		}
	}
	return beads, nil
}

// fillSparse lays lines Pitch / Fill apart in r.
func fillSparse(i int, r Region, o *Options) ([]Bead, error) {
	if len(r) == 0 || o.Fill < leastFill {
		return nil, nil
	}
	centres, err := inset(r, fillInset*o.Pitch)
	if err != nil {
		return nil, err
	}
	f := ringsFamily(o.Axis, o.Pitch/o.Fill)
	if o.Pattern == PatternLines {
		f = linesFamily(math.Pi/4+float64(i%2)*math.Pi/2, o.Pitch/o.Fill)
	}
	var beads []Bead
	for _, c := range f.clip(centres).strokes() {
		if pathLength(c.path, c.closed) >= o.Pitch {
			beads = append(beads, f.bead(c, Fill, o))
		}
	}
	return beads, nil
}

// leastFill is the fill under which nothing is laid: lines 50 pitches apart
// carry nothing.
const leastFill = 0.02
