// Package field holds the lift fields: how far a point of the part is raised
// before it is sliced level, and what follows from that along lines and
// triangles.
//
// A field is f(x, y) in mm. Its shells are the surfaces z + f(x, y) = c.
// Distances are mm, angles radians, positions those of the bed.
package field

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Kind tells the shape of a field.
type Kind uint8

// The kinds of field.
const (
	Level Kind = iota // f = 0
	Cone              // f = +-slope (sqrt(r^2 + round^2) - round)
	Ramp              // f = slope (x cos toward + y sin toward)
)

// Field is a lift field. The zero value is level.
type Field struct {
	Kind   Kind
	Slope  float64 // tan(angle), >= 0
	Inward bool    // cone: the shells fall toward the axis
	Axis   r2.Vec  // cone
	Round  float64 // cone: apex rounding, >= 0
	Toward float64 // ramp: azimuth of the gradient, radians
}

// NewCone returns a cone of the given angle from level, in radians.
func NewCone(angle float64, inward bool, axis r2.Vec, round float64) Field {
	return Field{Kind: Cone, Slope: math.Tan(angle), Inward: inward, Axis: axis, Round: round}
}

// NewRamp returns a ramp of the given angle whose gradient points toward the
// given azimuth, both in radians.
func NewRamp(angle, toward float64) Field {
	return Field{Kind: Ramp, Slope: math.Tan(angle), Toward: toward}
}

// Angle returns the steepest angle of the shells from level, radians.
func (f *Field) Angle() float64 {
	if f.Kind == Level {
		return 0
	}
	return math.Atan(f.Slope)
}

func (f *Field) signed() float64 {
	if f.Inward {
		return -f.Slope
	}
	return f.Slope
}

// At returns the lift at p.
func (f *Field) At(p r2.Vec) float64 {
	switch f.Kind {
	case Cone:
		dx, dy := p.X-f.Axis.X, p.Y-f.Axis.Y
		return f.signed() * (math.Sqrt(dx*dx+dy*dy+f.Round*f.Round) - f.Round)
	case Ramp:
		sin, cos := math.Sincos(f.Toward)
		return f.Slope * (p.X*cos + p.Y*sin)
	}
	return 0
}

// Grad returns the gradient of the lift at p. Where it vanishes or is not
// defined (a level field, the axis of a cone) ok is false and the vector zero.
func (f *Field) Grad(p r2.Vec) (g r2.Vec, ok bool) {
	switch f.Kind {
	case Cone:
		d := r2.Sub(p, f.Axis)
		r := math.Sqrt(r2.Norm2(d) + f.Round*f.Round)
		if d.X == 0 && d.Y == 0 || r == 0 || f.Slope == 0 {
			return r2.Vec{}, false
		}
		return r2.Scale(f.signed()/r, d), true
	case Ramp:
		sin, cos := math.Sincos(f.Toward)
		return r2.Vec{X: f.Slope * cos, Y: f.Slope * sin}, f.Slope != 0
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
	switch f.Kind {
	case Cone:
		dx, dy := p.X-f.Axis.X, p.Y-f.Axis.Y
		if dx == 0 && dy == 0 || f.Slope == 0 {
			return 0, false
		}
		if f.Inward {
			dx, dy = -dx, -dy
		}
		return math.Atan2(dy, dx), true
	case Ramp:
		return math.Remainder(f.Toward, 2*math.Pi), f.Slope != 0
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
