// Package testpiece makes small parts, each with a job for the machine at hand, that
// show one number of a machine card or of the settings to be wrong, and computes the
// better number from what is measured on the print.
//
// Lengths are mm, angles degrees.
package testpiece

import (
	"math"

	"conewright/geom/form"
	"conewright/geom/job"
	"conewright/geom/machine"
	"conewright/geom/mesh"
	"conewright/geom/message"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Kinds of test pieces.
const (
	Flow   = "flow"   // a cone of a single wall: its thickness tells how much comes out
	First  = "first"  // a low disc: its height tells where the bed is
	Bridge = "bridge" // a beam over a row of posts: the fan that bridges best
	Droop  = "droop"  // a bell whose wall leans out ever further: the greatest overhang
)

// Kinds lists them in the order in which they are best printed: each takes the
// numbers of those before for right.
func Kinds() []string { return []string{First, Flow, Droop, Bridge} }

// ErrFixedLean says that a card has no test pieces.
var ErrFixedLean = message.Errorf("test pieces are round, and this head leans one way only: a cone about the piece can't be printed with it")

// Make returns a test piece and the job that prints it with a setup's machine,
// material and settings. The job's part has no file yet.
func Make(kind string, s *job.Setup) (*mesh.Mesh, *job.Setup, error) {
	if s.Machine.Card.LeansFixed() {
		return nil, nil, ErrFixedLean
	}
	next := s.Clone()
	next.Parts, next.Support = nil, job.SupportNone
	x, y := s.Machine.Card.BedCentre()
	next.Part = job.Part{Unit: "mm", Seat: &[2]float64{x, y}}
	next.Planner.Foot, next.Planner.Skirt = 0, 0
	angle := fieldAngle(kind, s.Machine.Card)
	field := &job.Field{Kind: job.KindLevel}
	if angle > 0 {
		field = &job.Field{Kind: job.KindCone, Grow: job.GrowOutward, Angle: angle, Axis: &[2]float64{x, y}}
	}
	var m *mesh.Mesh
	switch kind {
	case Flow:
		m = funnel(angle)
		next.Planner.Walls, next.Planner.Caps, next.Planner.Fill = 1, 0, 0
	case First:
		m = form.Turned([]r2.Vec{{}, {X: discRadius}, {X: discRadius, Y: DiscHeight}, {Y: DiscHeight}}, steps)
		next.Planner.Fill = 1
	case Bridge:
		m = row()
		next.Planner.Fill = 1
		if angle > 0 { // its shells are level along the row
			field = &job.Field{Kind: job.KindRamp, Angle: angle, Toward: 90}
		}
	default:
		m = bell(angle)
	}
	next.Zones = &job.Zone{Name: kind, Field: field}
	return m, next, nil
}

// fieldAngle is the angle of a piece's shells: what the head is square on, or, where
// what leans out is looked at, as much less as the card allows: the wall leans out
// from the shells, and can't lean further than level.
func fieldAngle(kind string, c *machine.Card) float64 {
	if kind == Droop {
		return max(0, c.Head.Tilt-c.Head.OffSquare)
	}
	return c.Head.Tilt
}

// Sizes of the pieces, mm: small, and large enough to be measured by calipers.
const (
	steps      = 96 // facets of a turn
	discRadius = 15.0
	DiscHeight = 1.2
	lowRadius  = 8.0  // of the flow cone at the bed
	wallHeight = 10.0 // of the flow cone
	band       = 3.0  // along the bell's wall, of one angle
	postHigh   = 8.0
	postWide   = 6.0
	rowDeep    = 6.0
	beamHigh   = 1.6
)

// Spans are the gaps between the posts of the bridge row.
func Spans() []float64 { return []float64{4, 8, 12, 16, 20} }

// funnel is a solid cone whose wall stands square to shells of an angle: printed with
// one wall and nothing in it, the wall is as thick as a bead is wide.
func funnel(angle float64) *mesh.Mesh {
	top := lowRadius + wallHeight*math.Tan(angle*math.Pi/180)
	return form.Turned([]r2.Vec{{}, {X: lowRadius}, {X: top, Y: wallHeight}, {Y: wallHeight}}, steps)
}

// Leans are the angles by which the bell's bands lean out from the shells' normal,
// from the bed up. The last one stays a little off level.
func Leans(c *machine.Card) []float64 {
	var list []float64
	for lean := 20.0; lean <= 80 && lean+fieldAngle(Droop, c) <= 85; lean += 5 {
		list = append(list, lean)
	}
	return list
}

// bell is a body of revolution of bands that lean out ever further from shells of an
// angle. A wall that leans out from the upright by b has, where the shells' normal
// leans out by a, an overhang of b - a.
func bell(angle float64) *mesh.Mesh {
	at := r2.Vec{X: lowRadius / 2}
	profile := []r2.Vec{{}, at}
	for lean := 20.0; lean <= 80 && lean+angle <= 85; lean += 5 {
		sin, cos := math.Sincos((lean + angle) * math.Pi / 180)
		at = r2.Add(at, r2.Vec{X: band * sin, Y: band * cos})
		profile = append(profile, at)
	}
	rim := r2.Add(at, r2.Vec{Y: 1}) // mm: no edge that nothing can print
	return form.Turned(append(profile, rim, r2.Vec{Y: rim.Y}), steps)
}

// row is a beam over posts that stand ever further apart, one closed body: boxes side
// by side, without the faces in which they touch.
func row() *mesh.Mesh {
	all := &mesh.Mesh{}
	x := 0.0
	for i, gap := range append(Spans(), 0) {
		left, right := outer, outer
		if i > 0 {
			left = inner
		}
		if gap > 0 {
			right = inner
		}
		addBox(all, x, x+postWide, 0, postHigh, [6]bool{outer, inner, outer, outer, outer, outer})
		addBox(all, x, x+postWide, postHigh, postHigh+beamHigh, [6]bool{inner, outer, outer, right, outer, left})
		x += postWide
		if gap > 0 {
			addBox(all, x, x+gap, postHigh, postHigh+beamHigh, [6]bool{outer, outer, outer, inner, outer, inner})
			x += gap
		}
	}
	return all.Weld(0)
}

// Whether a box's side is the body's, in addBox.
const outer, inner = true, false

// addBox adds the outer sides of a box over the row's depth: bottom, top, front, right,
// back, left, as form.Box has them.
func addBox(to *mesh.Mesh, x0, x1, z0, z1 float64, sides [6]bool) {
	b := form.Box(r3.Vec{X: x0, Z: z0}, r3.Vec{X: x1, Y: rowDeep, Z: z1})
	n := int32(len(to.Vertices))
	to.Vertices = append(to.Vertices, b.Vertices...)
	for i, f := range b.Facets {
		if sides[i/2] {
			to.Facets = append(to.Facets, [3]int32{f[0] + n, f[1] + n, f[2] + n})
		}
	}
}
