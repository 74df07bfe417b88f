// Package zone cuts a part by planes into zones that print one on the other,
// and knows the base on which each zone rests.
//
// Positions are mm in the frame of the bed. Cutting is combinatorial: which
// side a vertex is on is decided once, a vertex on a shared edge is computed
// once, and both children get the same cap, so that children of a closed mesh
// are closed and their volumes add up, wherever the plane runs.
package zone

import (
	"math"

	"conewright/geom/message"

	"gonum.org/v1/gonum/spatial/r3"
)

// SnapTol is how near, in mm, a vertex must be to a plane to count as lying in
// it: a few steps of single precision at the far end of a bed (1.5e-5 mm at
// 250 mm), since part files hold such numbers, and far below any layer.
const SnapTol = 5e-5

// Plane is a cutting plane through Point. Normal, of any length, points to the
// side that prints later.
type Plane struct {
	Point, Normal r3.Vec
}

// ErrMisses says that a cut leaves one side empty. It comes as a *MissError.
var ErrMisses = message.Errorf("the cut misses the part")

// ErrPlane says that a plane's point or normal isn't usable.
var ErrPlane = message.Errorf("a cut needs a finite point and a normal that isn't zero")

// MissError tells how a cut misses: the part reaches from Low to High, mm along
// the cut's unit normal, measured from the cut.
type MissError struct {
	Low, High float64
}

func (e *MissError) Error() string { return e.Message().String() }

// Message tells the numbers and how to mend it.
func (e *MissError) Message() message.Text {
	way, by := message.New("against"), -e.High
	if e.Low > -SnapTol {
		way, by = message.New("along"), e.Low
	}
	return message.New("%v: along its normal the part reaches from %.4g to %.4g mm as seen from the cut; move it by more than %.4g mm %s its normal",
		ErrMisses, e.Low, e.High, math.Max(by, 0), way)
}

// Is makes errors.Is(err, ErrMisses) true.
func (e *MissError) Is(target error) bool { return target == ErrMisses }

// unit returns the plane with a normal of length 1.
func (p Plane) unit() (Plane, error) {
	n := r3.Norm(p.Normal)
	for _, v := range [...]float64{p.Point.X, p.Point.Y, p.Point.Z, n} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return p, ErrPlane
		}
	}
	if n == 0 {
		return p, ErrPlane
	}
	p.Normal = r3.Scale(1/n, p.Normal)
	return p, nil
}

// distance returns how far q is from the plane of unit normal, along it.
func (p Plane) distance(q r3.Vec) float64 {
	return r3.Dot(p.Normal, r3.Sub(q, p.Point))
}

// axes returns u and v in the plane, so that u, v and the normal are
// right-handed and of length 1. For an upward normal they are x and y.
func (p Plane) axes() (u, v r3.Vec) {
	n := p.Normal
	if math.Abs(n.Y) <= math.Abs(n.Z) {
		u = r3.Unit(r3.Cross(r3.Vec{Y: 1}, n))
	} else {
		u = r3.Unit(r3.Cross(r3.Vec{Z: 1}, n))
	}
	return u, r3.Cross(n, u)
}
