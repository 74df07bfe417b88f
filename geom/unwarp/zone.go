// Package unwarp brings planar motion back onto the shells: it cuts moves
// finely enough, turns the head, keeps the tip off the bed, sets the feeds and
// writes the machine's words.
//
// Lengths are mm, feeds mm/min, swivel words degrees, angles inside radians.
package unwarp

import (
	"math"

	"conewright/geom/field"
	"conewright/geom/machine"
	"conewright/geom/motion"
	"conewright/geom/zone"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Zone is what bringing back one zone's motion needs.
type Zone struct {
	Name        string
	Field       field.Field
	Drop        float64    // z taken off to seat the warped mesh at 0
	Offset      r3.Vec     // planar motion minus warped mesh
	LayerHeight float64    // planar
	Base        *zone.Base // what the zone rests on; nil: the bed
	Last        bool       // no zone follows: nobody will ask what stood where
	// Keep tells which events belong to the part, or is nil for all. What it
	// refuses is left out and counted.
	Keep func(*motion.Event) bool
}

// Real returns where a planar point's plan place lies on the bed, and the c of
// the shell z + f = c that its z stands for.
func (z *Zone) Real(p r3.Vec) (xy r2.Vec, c float64) {
	return r2.Vec{X: p.X - z.Offset.X, Y: p.Y - z.Offset.Y}, p.Z - z.Offset.Z + z.Drop
}

// Rule is the bed rule of CONTRACT: how low the tip may stand over a base, and
// how much filament a bead near the base gets.
type Rule struct {
	base *zone.Base
	half float64 // half a layer height
	h    float64 // layer height
	rim  float64 // radius of the nozzle at its tip

	tilted     bool    // the nozzle isn't straight
	follows    bool    // it leans anew wherever shells are less steep
	level, top float64 // Level and Top, asked for at every bead
	most       float64 // height of a path over its base above which the rule never acts
}

// NewRule returns the rule for a zone on a machine.
func NewRule(card *machine.Card, z *Zone) Rule {
	r := Rule{base: z.Base, half: z.LayerHeight / 2, h: z.LayerHeight, rim: card.RimRadius()}
	nozzle := newNozzle(card, z)
	r.tilted, r.follows = nozzle.tilted(), nozzle.follows
	r.level = r.over(r3.Vec{Z: 1}, nozzle.axis(0)) // the azimuth doesn't matter there
	r.most = math.Max(r.h, math.Max(r.half, r.rim))
	if r.swivels() { // its tip lies up to half a layer under the path's height
		r.most = math.Max(r.h, math.Max(r.half, r.rim)+r.half)
	}
	r.top = r.most
	if z.Base != nil {
		r.top += z.Base.Top()
	}
	return r
}

// Over returns the rule's least tip height over a base of the given normal with
// the nozzle along axis, mm.
func (r *Rule) Over(normal, axis r3.Vec) float64 {
	if normal.Z == 1 && !r.follows {
		return r.level
	}
	return r.over(normal, axis)
}

func (r *Rule) over(normal, axis r3.Vec) float64 {
	cos := r3.Dot(axis, normal)
	return math.Max(r.half, r.rim*math.Sqrt(math.Max(0, 1-cos*cos)))
}

// swivels reports whether the head's azimuth matters to Over.
func (r *Rule) swivels() bool { return r.tilted }

// Level returns Over for a level base, where the nozzle leans most.
func (r *Rule) Level() float64 { return r.level }

// Top returns the height of a bead's upper face, half a layer right above its
// middle, above which the rule never acts: neither on the tip nor on the filament.
func (r *Rule) Top() float64 { return r.top }

// Base returns the base's height under (p, z) and its normal.
func (r *Rule) Base(p r2.Vec, z float64) (b float64, normal r3.Vec) {
	if r.base == nil {
		return 0, r3.Vec{Z: 1}
	}
	// A bead may come to lie up to a layer under its base before the rule
	// raises it: that base is still the one beneath.
	b, normal, _ = r.base.Height(p.X, p.Y, z+r.h)
	return b, normal
}

// Share returns how much of a bead's filament is laid where half a layer right
// above its middle is the height z, over a base at b: min(1, (z - b) / layer
// height).
func (r *Rule) Share(z, b float64) float64 {
	return math.Max(0, math.Min(1, (z-b)/r.h))
}
