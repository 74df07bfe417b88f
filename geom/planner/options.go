package planner

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"conewright/geom/machine"
	"conewright/geom/support"
)

// Patterns of sparse fill. Caps are laid in rings for PatternRings and
// PatternSpokes, in lines for the others.
const (
	PatternRings  = "rings"  // circles about the axis
	PatternLines  = "lines"  // straight lines, turned by 90 degrees each layer
	PatternSpokes = "spokes" // rays from the axis, doubled in number outward
	PatternGrid   = "grid"   // two families of lines in each layer
)

// Seams: where closed beads begin.
const (
	SeamLine    = "line"    // on one azimuth about the axis
	SeamSpread  = "spread"  // on an azimuth that wanders from layer to layer
	SeamNearest = "nearest" // nearest to where the last bead ended
)

// Options say how to plan. Lengths are mm, areas mm2, speeds mm/s.
type Options struct {
	LayerHeight float64 // planar: shell thickness / cos(angle)
	BeadArea    float64 // cross-section of a bead
	Pitch       float64 // planar distance of lines; 0: BeadArea / LayerHeight
	LineWidth   float64 // planar width of a line; 0: from Pitch and LayerHeight, DESIGN 3
	Filament    float64 // diameter of the filament

	Walls     int     // closed beads along every outline
	OutsideIn bool    // lay the outermost wall first
	Caps      int     // solid layers under and over what is open
	Fill      float64 // share of the inside that is filled, 0..1
	Pattern   string  // of the fill; "": PatternRings
	Axis      r2.Vec  // of the rings, the spokes and the order
	Inward    bool    // a swivelling head leans toward the axis, not away from it

	// Lift is the field that made the shells level; nil: they are level planes.
	Lift Lift
	// Height returns how high the real place of a planar point stands over the bed
	// or over what the part was cut from, mm; nil: the layers stand on the bed.
	Height func(p r2.Vec, z float64) float64
	Tilt   float64 // of the nozzle toward Lift's gradient, radians
	Rim    float64 // radius of the nozzle's flat end

	// Support is laid with the part, from below: the layers of its columns. Stands
	// reports that support may lie at a planar point: over the bed, and in this zone's
	// share of the room; nil: everywhere.
	Support []support.Layer
	Stands  func(p r2.Vec, z float64) bool

	Seam        string  // "": SeamLine
	SeamAzimuth float64 // of SeamLine, radians

	Speed       float64 // along beads
	TravelSpeed float64
	Retract     machine.Retract
	Wipe        float64 // length along the bead just laid over which filament is drawn back, mm; 0: drawn back at rest

	SlowLayers   int     // so many first layers are laid at SlowSpeed at most
	SlowSpeed    float64 // 0: half of Speed
	LeastSeconds float64 // a layer takes so long at least, by slower beads; 0: no matter
}

// Limits that keep a plan within memory and sense.
const (
	maxWalls  = 1000
	maxCaps   = 10000
	maxLayers = 200000
	maxExtent = 5000 // mm from the origin; keeps clipper in its fast 30-bit range
)

// filled returns o with its defaults, or says which option makes no sense.
func (o Options) filled() (Options, error) {
	if o.Pitch == 0 {
		o.Pitch = o.BeadArea / o.LayerHeight
	}
	if o.LineWidth == 0 {
		o.LineWidth = o.Pitch + o.LayerHeight*(1-math.Pi/4)
	}
	if o.Pattern == "" {
		o.Pattern = PatternRings
	}
	if o.Seam == "" {
		o.Seam = SeamLine
	}
	if o.SlowSpeed == 0 {
		o.SlowSpeed = o.Speed / 2
	}
	return o, o.check()
}

// check names the first option that can't be used.
func (o *Options) check() error {
	for _, v := range []struct {
		name       string
		value      float64
		least, top float64
	}{
		{"layer height", o.LayerHeight, 0.005, 10},
		{"bead area", o.BeadArea, 1e-4, 100},
		{"pitch", o.Pitch, 0.02, 20},
		{"line width", o.LineWidth, 0.02, 20},
		{"filament diameter", o.Filament, 0.1, 20},
		{"fill", o.Fill, 0, 1},
		{"speed", o.Speed, 0.01, 10000},
		{"travel speed", o.TravelSpeed, 0.01, 10000},
		{"slow speed", o.SlowSpeed, 0.01, 10000},
		{"least seconds a layer", o.LeastSeconds, 0, 3600},
		{"retraction length", o.Retract.Length, 0, 100},
		{"lift", o.Retract.Lift, 0, 100},
		{"wipe", o.Wipe, 0, 100},
		{"axis x", o.Axis.X, -1e4, 1e4},
		{"axis y", o.Axis.Y, -1e4, 1e4},
		{"seam azimuth", o.SeamAzimuth, -1e4, 1e4},
	} {
		if !(v.value >= v.least && v.value <= v.top) {
			return fmt.Errorf("planner: %s %v is out of range: give %v to %v", v.name, v.value, v.least, v.top)
		}
	}
	switch {
	case o.Walls < 0 || o.Walls > maxWalls:
		return fmt.Errorf("planner: %d walls: give 0 to %d", o.Walls, maxWalls)
	case o.Caps < 0 || o.Caps > maxCaps:
		return fmt.Errorf("planner: %d cap layers: give 0 to %d", o.Caps, maxCaps)
	case o.SlowLayers < 0:
		return fmt.Errorf("planner: %d slow layers: give 0 or more", o.SlowLayers)
	case o.Retract.Length > 0 && !(o.Retract.Speed > 0):
		return errors.New("planner: retraction needs a speed above 0")
	case math.Abs(o.Pitch*o.LayerHeight-o.BeadArea) > 0.01*o.BeadArea:
		return fmt.Errorf("planner: pitch %.4f x layer height %.4f isn't the bead area %.5f: full fill wouldn't be full", o.Pitch, o.LayerHeight, o.BeadArea)
	}
	switch o.Pattern {
	case PatternRings, PatternLines, PatternSpokes, PatternGrid:
	default:
		return fmt.Errorf("planner: unknown fill pattern %q: use %q, %q, %q or %q", o.Pattern, PatternRings, PatternLines, PatternSpokes, PatternGrid)
	}
	switch o.Seam {
	case SeamLine, SeamSpread, SeamNearest:
	default:
		return fmt.Errorf("planner: unknown seam %q: use %q, %q or %q", o.Seam, SeamLine, SeamSpread, SeamNearest)
	}
	return nil
}
