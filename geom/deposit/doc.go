// Package deposit lays the beads of a motion in printing order and judges each
// where it is laid: what it rests on, and how deep the nozzle's rim digs into
// beads laid before (CONTRACT, "What a bead rests on").
//
// The motion is heard once, move by move. Only what is near the surface of the
// print is kept, so memory doesn't grow with the length of the motion.
//
// A bead is the body of the zone's bead width and of its shell's thickness about
// a middle line. Lengths are mm, places the bed's.
package deposit

import (
	"conewright/geom/placement"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Move is one straight move of the tip.
type Move struct {
	From, To         r3.Vec // the tip
	FromAxis, ToAxis r3.Vec // unit vectors along the nozzle's axis, away from the tip
	Lays             bool   // a bead
	Retracts         bool   // filament is drawn back: the bead ends
	Support          bool   // the bead is support: it holds others and isn't judged
	Zone             int    // index of the zone
	Line             int    // of the motion file
}

// Field is what is asked of a zone's lift field.
type Field interface {
	placement.Field
	// Normal returns the shell's unit normal at p, pointing up.
	Normal(p r2.Vec) r3.Vec
}

// Base is the surface that a zone begins on.
type Base interface {
	// Height returns the height of the highest base facet over (x, y) that isn't
	// above z, and its upward unit normal; ok is false where the bed is meant.
	Height(x, y, z float64) (b float64, normal r3.Vec, ok bool)
}

// Zone is what is known of the beads of a zone.
type Zone struct {
	Field       Field
	LayerHeight float64 // planar
	Width       float64 // of a bead
	Base        Base    // nil: the bed
}

// Numbers of CONTRACT, "What a bead rests on".
const (
	sampleEvery = 0.2  // distance of the places of a bead that are judged
	underLeast  = 0.35 // shell thicknesses that what holds a bead lies below it
	underMost   = 2.0
	underBeside = 0.6 // bead widths that it may lie beside
	// crumb is the length, mm, up to which a move without filament is a rounding: the
	// bead goes on after it.
	crumb = 0.01
	// ShortRun is the length of bead that may hang without being counted.
	ShortRun = 5.0
	// ownPath is the length of the nozzle's own last path that its rim isn't held
	// against.
	ownPath = 1.5
)
