// Package field holds the lift fields: how far a point of the part is raised
// before it is sliced level, and what follows from that along lines, in
// triangles, in discs and along rays.
//
// A field is f(x, y) in mm. Its shells are the surfaces z + f(x, y) = c.
// Distances are mm, angles radians, positions those of the bed.
//
// Other packages ask a field for answers, never for its kind. A kind of field
// that isn't built in is made with Own, from its answers.
package field

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// kind tells which formulas hold for a field.
type kind uint8

const (
	level kind = iota // f = 0
	cone              // f = +-slope (sqrt(r^2 + round^2) - round)
	ramp              // f = slope (x cos toward + y sin toward)
	own               // whatever its answers say
)

// Field is a lift field. It never changes; copies are cheap. The zero value is
// level.
type Field struct {
	kind    kind
	slope   float64  // greatest length of the gradient, >= 0
	inward  bool     // cone: the shells fall toward the axis
	axis    r2.Vec   // cone
	round   float64  // cone: apex rounding, >= 0
	toward  float64  // ramp: azimuth of the gradient
	answers *Answers // own
}

// NewCone returns a cone of the given angle from level, in radians.
func NewCone(angle float64, inward bool, axis r2.Vec, round float64) Field {
	return Field{kind: cone, slope: math.Tan(angle), inward: inward, axis: axis, round: round}
}

// NewRamp returns a ramp of the given angle whose gradient points toward the
// given azimuth, both in radians.
func NewRamp(angle, toward float64) Field {
	return Field{kind: ramp, slope: math.Tan(angle), toward: toward}
}

// Angle returns the steepest angle of the shells from level, radians.
func (f *Field) Angle() float64 { return math.Atan(f.slope) }

// Slope returns the greatest length of the gradient: tan(Angle).
func (f *Field) Slope() float64 { return f.slope }

// EvenSlope reports that the shells are equally steep everywhere.
func (f *Field) EvenSlope() bool {
	return f.kind == level || f.kind == ramp || f.kind == cone && f.round == 0 || f.kind == own && f.answers.EvenSlope
}

// Curvature tells how a field bends.
type Curvature uint8

// How a field bends as a whole.
const (
	Linear  Curvature = iota // not at all: each shell is a plane
	Convex                   // no chord lies under the lift
	Concave                  // no chord lies over the lift
	Mixed                    // neither
)

// Curvature returns how the field bends as a whole.
func (f *Field) Curvature() Curvature {
	switch {
	case f.kind == own:
		return f.answers.Curvature
	case f.kind != cone || f.slope == 0:
		return Linear
	case f.inward:
		return Concave
	}
	return Convex
}

// Linear reports that the shells are planes, all parallel.
func (f *Field) Linear() bool { return f.Curvature() == Linear }

// Level reports that the shells are level planes.
func (f *Field) Level() bool { return f.slope == 0 }

// Axis returns the upright line about which the field is the same all round. ok
// is false where there is none.
func (f *Field) Axis() (axis r2.Vec, ok bool) {
	if f.kind == own && len(f.answers.Line) == 1 {
		return f.answers.Line[0], true
	}
	return f.axis, f.kind == cone
}

// Apex returns the axis and the signed slope of a field whose gradient has one
// length and points straight away from the axis (slope > 0) or to it. ok is
// false for any other field.
func (f *Field) Apex() (axis r2.Vec, slope float64, ok bool) {
	return f.axis, f.signed(), f.kind == cone && f.round == 0 && f.slope != 0
}

// Line returns the points of the line that the field is about, for drawing it:
// one for a cone, none for planes. The slice is the caller's.
func (f *Field) Line() []r2.Vec {
	switch f.kind {
	case cone:
		return []r2.Vec{f.axis}
	case own:
		return append([]r2.Vec(nil), f.answers.Line...)
	}
	return nil
}

func (f *Field) signed() float64 {
	if f.inward {
		return -f.slope
	}
	return f.slope
}

// Times returns the field whose lift is share times as great; share >= 0.
func (f *Field) Times(share float64) Field {
	g := *f
	g.slope *= share
	if f.kind == own {
		g.answers = f.answers.times(share)
	}
	return g
}

// Turned returns a field of planes with its gradient turned counter-clockwise;
// other fields are returned as they are.
func (f *Field) Turned(angle float64) Field {
	g := *f
	if f.kind == ramp {
		g.toward += angle
	}
	return g
}

// At returns the lift at p.
func (f *Field) At(p r2.Vec) float64 {
	switch f.kind {
	case cone:
		dx, dy := p.X-f.axis.X, p.Y-f.axis.Y
		return f.signed() * (math.Sqrt(dx*dx+dy*dy+f.round*f.round) - f.round)
	case ramp:
		sin, cos := math.Sincos(f.toward)
		return f.slope * (p.X*cos + p.Y*sin)
	case own:
		return f.answers.At(p)
	}
	return 0
}

// Grad returns the gradient of the lift at p. Where it vanishes or is not
// defined (a level field, the axis of a cone) ok is false and the vector zero.
// On a crease it is that of either side.
func (f *Field) Grad(p r2.Vec) (g r2.Vec, ok bool) {
	switch f.kind {
	case cone:
		d := r2.Sub(p, f.axis)
		r := math.Sqrt(r2.Norm2(d) + f.round*f.round)
		if d.X == 0 && d.Y == 0 || r == 0 || f.slope == 0 {
			return r2.Vec{}, false
		}
		return r2.Scale(f.signed()/r, d), true
	case ramp:
		sin, cos := math.Sincos(f.toward)
		return r2.Vec{X: f.slope * cos, Y: f.slope * sin}, f.slope != 0
	case own:
		g = f.answers.Grad(p)
		return g, g != r2.Vec{}
	}
	return r2.Vec{}, false
}

// Normal returns the unit normal of the shell through p, pointing up.
func (f *Field) Normal(p r2.Vec) r3.Vec {
	g, _ := f.Grad(p)
	n := 1 / math.Sqrt(1+r2.Norm2(g))
	return r3.Vec{X: g.X * n, Y: g.Y * n, Z: n}
}

// Azimuth returns the direction of the gradient at p, in (-pi, pi]: the side
// toward which the shells fall and a square head leans. Where the gradient
// vanishes ok is false.
func (f *Field) Azimuth(p r2.Vec) (azimuth float64, ok bool) {
	switch f.kind {
	case cone:
		dx, dy := p.X-f.axis.X, p.Y-f.axis.Y
		if dx == 0 && dy == 0 || f.slope == 0 {
			return 0, false
		}
		if f.inward {
			dx, dy = -dx, -dy
		}
		return math.Atan2(dy, dx), true
	case ramp:
		return math.Remainder(f.toward, 2*math.Pi), f.slope != 0
	case own:
		g := f.answers.Grad(p)
		return math.Atan2(g.Y, g.X), g != r2.Vec{}
	}
	return 0, false
}

// Warp lifts p onto the level plane of its shell: z + f.
func (f *Field) Warp(p r3.Vec) r3.Vec {
	p.Z += f.At(r2.Vec{X: p.X, Y: p.Y})
	return p
}

// Unwarp brings p back onto the shell: z - f.
func (f *Field) Unwarp(p r3.Vec) r3.Vec {
	p.Z -= f.At(r2.Vec{X: p.X, Y: p.Y})
	return p
}
