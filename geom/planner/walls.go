package planner

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"conewright/geom/polygon"
)

// Shares of a pitch that decide between two beads and one.
const (
	// mayOverlap is how far two neighbouring beads may share their room. Where
	// they would share more, one bead of adapted width takes their place.
	mayOverlap = 0.2
	// leastGap is the least width of a gap bead: less flow than that doesn't
	// come out evenly (common practice, no source).
	leastGap = 0.35
)

// walls lays o.Walls closed beads inside an island: the outermost half a line
// width from the outline, each next a pitch further. Where they don't fit, a gap
// bead takes what is left. inside is the rest for fill: it begins half a pitch
// past the centre of the last wall.
func walls(piece Region, o *Options) (isl island, inside Region, err error) {
	depth, kind := o.LineWidth/2, Wall
	least := o.LineWidth / 2
	inside = piece
	if o.Walls == 0 {
		inside, err = polygon.Inset(piece, depth-capInset*o.Pitch)
		return isl, inside, err
	}
	for range o.Walls {
		f, err := fitBeads(inside, depth, o.Pitch/2)
		if err != nil {
			return isl, nil, err
		}
		thin, err := gapBeads(f.thin, least, kind, o)
		if err != nil {
			return isl, nil, err
		}
		if len(f.centre) > 0 {
			isl.walls = append(isl.walls, loops(f.centre))
		}
		if kind == Wall { // a thin outline is a wall, not a gap
			if len(f.centre) == 0 && len(thin) == 0 {
				thin = dot(piece, least)
			}
			isl.walls = append(isl.walls, thin)
		} else {
			isl.gaps = append(isl.gaps, thin...)
		}
		if inside = f.inside; len(inside) == 0 {
			return isl, nil, nil
		}
		depth, kind, least = o.Pitch/2, Gap, leastGap*o.Pitch
	}
	f, err := fitBeads(inside, capInset*o.Pitch, capInset*o.Pitch)
	if err != nil {
		return isl, nil, err
	}
	thin, err := gapBeads(f.thin, least, Gap, o)
	if err != nil {
		return isl, nil, err
	}
	isl.gaps = append(isl.gaps, thin...)
	if len(f.thin) > 0 {
		inside, err = polygon.Subtract(inside, f.thin)
	}
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

// fitting tells where beads along the edge of a region go.
type fitting struct {
	centre Region // centre lines
	inside Region // what lies within those beads
	thin   Region // where no pair of beads fits
}

// fitBeads lays centre lines depth inside r for beads that reach half a width
// further in. Usually two offsets do; where r is too thin somewhere, what is
// thin is cut off (a morphological opening).
func fitBeads(r Region, depth, half float64) (f fitting, err error) {
	if f.centre, err = polygon.Inset(r, depth); err != nil {
		return f, err
	}
	if f.inside, err = polygon.Inset(f.centre, half); err != nil {
		return f, err
	}
	if !pinched(r, f.inside, depth+half, half*half) {
		return f, nil
	}
	keep := (1 - mayOverlap) * half
	core, err := polygon.Inset(f.centre, keep)
	if err != nil {
		return f, err
	}
	opened, err := polygon.Grow(core, keep)
	if err != nil {
		return f, err
	}
	if f.centre, err = polygon.Intersect(f.centre, opened); err != nil {
		return f, err
	}
	covered, err := polygon.Grow(f.centre, depth)
	if err != nil {
		return f, err
	}
	if f.thin, err = polygon.Subtract(r, covered); err != nil {
		return f, err
	}
	f.inside, err = polygon.Inset(f.centre, half)
	return f, err
}

// flatTurn is the turn at a reflex corner up to which the polygon library makes
// one point instead of an arc, at offsets of a bead's size; its offset edge then
// ends at half the cosine's loss.
const flatTurn = 0.21

// pinched reports whether r is too thin somewhere for an inset by t: whether
// more than slack of area survived that a region without thin places would have
// lost. By Steiner's formula for parallel bodies such a region loses t a unit of
// length, more at reflex corners (sectors), less at convex ones (kites).
func pinched(r, insetRegion Region, t, slack float64) bool {
	expected := r.Area() - t*r.Length()
	for _, c := range r {
		p := r2.Sub(c[0], c[len(c)-1])
		for i, a := range c {
			q := r2.Sub(c[polygon.Next(i, len(c))], a)
			turn := math.Atan2(r2.Cross(p, q), r2.Dot(p, q))
			switch {
			case turn > 0:
				expected += t * t * math.Tan(turn/2)
			case turn > -flatTurn:
				expected += t*t*math.Sin(turn)/2 + t*r2.Norm(p)*(1-math.Cos(turn))/2
			default:
				expected += t * t * turn / 2
			}
			p = q
		}
	}
	return math.Abs(insetRegion.Area()-expected) > slack
}
