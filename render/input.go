// Package render draws the part, its zones and its motion as a sheet: three
// views in first-angle projection, composed by pure functions from the setup
// and its results.
//
// Sheet makes a drawing (package drawing: plain data) from an Input; svg and
// raster turn it into bytes and pixels. A Drafter does the same and keeps from
// one drawing to the next what didn't change.
package render

import (
	"math"

	"conewright/geom/field"
	"conewright/geom/machine"
	"conewright/geom/mesh"
	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Input is all that a sheet shows; plain data, in bed coordinates and mm. Only
// Mesh is needed. Neither Sheet nor a Drafter changes it. A Drafter takes a
// mesh for unchanged where the pointer is the same: put a new one where
// vertices or facets differ.
type Input struct {
	Mesh  *mesh.Mesh // the whole part, seated
	Zones []Zone     // in printing order; none: the part is drawn without shells
	Parts []Part     // of which Mesh consists, which can be moved on the bed; nil: none can
	Cuts  []Cut
	Bed   *Bed // of the machine; nil: not drawn
	// Shell is the thickness of a shell, square to it; 0: 0.2 mm. Only so many
	// shells are drawn as stay apart on paper.
	Shell float64
	// Overhang holds the unsupported pieces of surface as triangles, which get a
	// crossed hatch; Bridged those on which beads bridge from hold to hold, where
	// that is known: they get a hatch in one direction.
	Overhang, Bridged [][3]r3.Vec
	MidAir            []r3.Vec // mid-air starts
	Snap              *Snap    // what a drag has snapped to; nil: nothing
	Findings          []r3.Vec // places of findings
	Laid                       // motion laid so far
	Head              *Head    // where the head stands; nil: not drawn
	Warp              float64  // 0 the part as it is .. 1 as it is sliced
	View              View
	Flat              Flat
	Options           Options
	Fields            Fields
	Texts             *Texts // nil: English
}

// Part is one of the parts on the bed.
type Part struct {
	Name    string     // shown where there are several
	Mesh    *mesh.Mesh // as it stands
	Azimuth float64    // how far it is turned on the bed, radians: the knob that turns it stands there
}

// Zone is a piece of the part with its field.
type Zone struct {
	Name  string
	Mesh  *mesh.Mesh // closed, caps marked by their origins; nil: the whole part
	Field field.Field
	// Points are those of the line that the field is about, which can be moved one by
	// one; nil: it is about none.
	Points []r2.Vec
}

// Cut is a plane that splits the part. Label stands at its end.
type Cut struct {
	Point, Normal r3.Vec
	Label         string
}

// Steep reports whether the cut stands nearer upright than level: then it is
// moved to the side rather than up.
func (c *Cut) Steep() bool { return math.Abs(c.Normal.X) > math.Abs(c.Normal.Z) }

// Snap is a place that a drag has snapped to, with a word for what it is.
type Snap struct {
	At    r3.Vec
	Words string
}

// Laid is what has been laid by a moment of the motion.
type Laid struct {
	Beads [][]r3.Vec // oldest first; none: the shells are drawn
	// Before tells how many of the beads belong to no zone and come first (a
	// skirt), Counts how many to each zone, in printing order; zones without any
	// aren't begun. nil: not known.
	Before int
	Counts []int
	Width  float64 // of a bead, mm; 0: 0.45
	// Hanging are the beads with nothing under them, which are drawn over all else.
	Hanging []Hanging
}

// Hanging is a run of bead with nothing under it.
type Hanging struct {
	Zone   int // in printing order
	Points []r3.Vec
}

// Head is the machine's head at a place of the motion.
type Head struct {
	Shape   machine.Head
	Tip     r3.Vec
	Azimuth float64 // toward which it leans, radians
}

// View is how the pictorial view is looked at. The zero value looks from the
// front right, from above, with the part fitted into its place.
type View struct {
	// Azimuth is where the viewer stands, counter-clockwise from +x seen from
	// above, and Elevation how high, radians. Both 0 stand for the usual
	// direction; a true zero is asked for by Set.
	Azimuth, Elevation float64
	Set                bool
	Zoom               float64 // 0 or 1: fitted
	Pan                r2.Vec  // mm of paper
}

// Flat is how elevation and plan are looked at, together.
type Flat struct {
	Zoom float64 // 0 or 1: the scale of ISO 5455 that fits
	Pan  r2.Vec  // mm of paper; y moves the elevation, and the plan against it
}

// Options are the choices of a sheet.
type Options struct {
	Size   r2.Vec // of the sheet, mm; zero: A3 landscape
	Hidden bool   // hidden edges, dashed
	Coarse bool   // fewer shells, for while something big is dragged
	// Moving samples lines more loosely where they are made anew, for while something
	// moves: where they end may be off by a share of a pixel.
	Moving bool
	// Only draws one view alone, as large as the sheet lets it; Sheet: all three.
	Only drawing.View
	// Fit is what elevation and plan are fitted to: that of an earlier drawing, so that
	// they stay while a part moves; nil: the parts as they stand.
	Fit *drawing.Fit
	// NoShells leaves shells out; what else follows from the zones stays.
	NoShells bool
	// Screen draws narrow margins: nothing is filed or printed.
	Screen bool
	// WarpRoom keeps place and scale of the views as they are while the part is drawn
	// warped, all the way.
	WarpRoom bool
	// NoFrame leaves out frame, title block and key.
	NoFrame bool
	// Selected is drawn in the accent tone and bolder.
	Selected drawing.Item
	// Section is the y of the section plane; nil: through the axis of the
	// selected zone, else of the last zone that has one, else the middle.
	Section *float64
}

// Fields are what the title block says (data fields after ISO 7200). There is
// no date: the same job must give the same bytes.
type Fields struct {
	Title, Machine, Zones, Shell, Overhang string
	Sheet, Sheets                          int // 0: 1
}
