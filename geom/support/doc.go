// Package support finds support of last resort: upright columns from the bed, or
// from the part below, to the places that nothing else holds.
//
// Upright lines stay upright under the warp, so columns are found in the warped
// zone, layer by layer from above: what a layer holds goes on in the layer below,
// until the part or the bed is met. A shell stays free between a column's top and
// the part, so that the support comes off by hand.
//
// Lengths are mm, areas mm2. "Planar" is what belongs to the warped zone, seated as
// its mesh is; everything else is the bed's.
package support

import (
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/field"
	"conewright/geom/mesh"
	"conewright/geom/overhang"
	"conewright/geom/polygon"
)

// Shells are the shells of one zone's field, and what stands in the columns' way
// there.
type Shells struct {
	// Solid is everything that is printed, of all zones, refined for the field and
	// lifted by it: its z is planar, z + f - Drop. It may reach under 0.
	Solid     *mesh.Mesh
	Field     *field.Field
	Drop      float64
	Height    float64 // planar height of a layer
	LineWidth float64 // planar width of a line
	Bed       r2.Box  // where columns may stand
}

// Places are what wants to be held.
type Places struct {
	// Pieces are convex pieces of surface that lean out too far, in place on the bed.
	Pieces [][]r3.Vec
	// Later are pieces of zones that print later: their columns cross these shells on
	// the way down, but whether they are held isn't told here.
	Later [][]r3.Vec
	// Starts are where shells begin with nothing under them.
	Starts []overhang.Start
	// OnlyStarts leaves all pieces without columns that belong to no start.
	OnlyStarts bool
}

// Layer is the support of one planar layer.
type Layer struct {
	Index  int            // its bottom lies at Index x Height, planar; it may be negative
	Centre polygon.Region // the columns, half a line width inside their outline
	Roof   polygon.Region // of it: what is within roofLayers of a column's top
	Top    polygon.Region // where columns end: the area that has no support right above it
}

// Columns are the support of a zone's shells.
type Columns struct {
	Layers       []Layer // from below, none empty
	Unheld       float64 // real area of the pieces that no column holds, mm2
	UnheldAt     r3.Vec  // a place of it
	UnheldStarts []overhang.Start
	// Later are the newborn areas of starts as pieces, for the zones below.
	Newborn [][]r3.Vec
}

const (
	// gapLayers is how many layers stay free between a column's top and the part.
	gapLayers = 1
	// sideGap is the distance of a column from a wall that it passes, mm, and
	// contactGap that of its topmost layer: near a slope it must come closer to hold
	// it (common practice, no source).
	sideGap    = 0.4
	contactGap = 0.2
	// startMargin is how far a column under a start reaches beyond it, mm: a column
	// 2 mm wide stands (common practice, no source).
	startMargin = 1.0
	// footLayers is how many layers of a column on the part are narrower.
	footLayers = 2
	// roofLayers is how many layers under a column's top are roof.
	roofLayers = 3
)
