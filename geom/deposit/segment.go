package deposit

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// segment is a piece of a bead's middle line, as it is kept.
type segment struct {
	path   float64 // length of the tip's path when it was laid
	a, d   vec32   // where it begins, and from there to its end
	nx, ny float32 // the shell's unit normal; its z is positive
	half   float32 // half the shell's thickness
	flat   float32 // half the width of the bead's flat top
	reach  float32 // from its middle no part of the bead's top is further
	upTo   float32 // along the normal of its cell no bead laid there before, nor its own, reaches further
}

type vec32 [3]float32

func narrow(v r3.Vec) vec32 { return vec32{float32(v.X), float32(v.Y), float32(v.Z)} }

func (v vec32) wide() r3.Vec { return r3.Vec{X: float64(v[0]), Y: float64(v[1]), Z: float64(v[2])} }

func (s *segment) normal() r3.Vec {
	x, y := float64(s.nx), float64(s.ny)
	return r3.Vec{X: x, Y: y, Z: math.Sqrt(max(0, 1-x*x-y*y))}
}

// top returns the greatest height of the bead: on a steep shell that of the upper
// edge of its flat top.
func (s *segment) top() float32 { return float32(s.along(r3.Vec{Z: 1})) + hair }

func (s *segment) middle() r3.Vec {
	return r3.Vec{X: float64(s.a[0] + s.d[0]/2), Y: float64(s.a[1] + s.d[1]/2), Z: float64(s.a[2] + s.d[2]/2)}
}

// along returns how far the bead reaches along a unit vector.
func (s *segment) along(n r3.Vec) float64 {
	cos := r3.Dot(s.normal(), n)
	return r3.Dot(s.a.wide(), n) + max(0, r3.Dot(s.d.wide(), n)) + float64(s.half) + float64(s.flat)*math.Sqrt(max(0, 1-cos*cos))
}

// window is where something must lie to be under a place: most to least below it
// along the normal, and at most beside from that line.
type window struct {
	at, normal          r3.Vec
	least, most, beside float64
}

// holds reports whether a point of the segment lies in the window.
func (w *window) holds(s *segment) bool {
	ax, ay, az := float64(s.a[0])-w.at.X, float64(s.a[1])-w.at.Y, float64(s.a[2])-w.at.Z
	dx, dy, dz := float64(s.d[0]), float64(s.d[1]), float64(s.d[2])
	n := &w.normal
	// How far below the place the segment begins, and how that grows along it.
	below, fall := -(ax*n.X + ay*n.Y + az*n.Z), -(dx*n.X + dy*n.Y + dz*n.Z)
	u0, u1 := 0.0, 1.0
	switch {
	case fall > flatFall:
		u0, u1 = max(u0, (w.least-below)/fall), min(u1, (w.most-below)/fall)
	case fall < -flatFall:
		u0, u1 = max(u0, (w.most-below)/fall), min(u1, (w.least-below)/fall)
	case below < w.least || below > w.most:
		return false
	}
	if u0 > u1 {
		return false
	}
	// The same sideways: the least distance on what is left of the segment.
	ax, ay, az = ax+below*n.X, ay+below*n.Y, az+below*n.Z
	dx, dy, dz = dx+fall*n.X, dy+fall*n.Y, dz+fall*n.Z
	u := u0
	if l := dx*dx + dy*dy + dz*dz; l > 0 {
		u = min(max(-(ax*dx+ay*dy+az*dz)/l, u0), u1)
	}
	ax, ay, az = ax+u*dx, ay+u*dy, az+u*dz
	return ax*ax+ay*ay+az*az <= w.beside*w.beside
}

// lowest returns how far along a unit vector the window reaches at least.
func (w *window) lowest(n r3.Vec) float64 {
	cos := r3.Dot(n, w.normal)
	return r3.Dot(n, w.at) - max(w.least*cos, w.most*cos) - w.beside*math.Sqrt(max(0, 1-cos*cos))
}

// flatFall is the fall along a segment, mm, below which it has none.
const flatFall = 1e-9

// holdsPlane reports whether a plane through q lies in the window.
func (w *window) holdsPlane(q, normal r3.Vec) bool {
	cos := r3.Dot(normal, w.normal)
	side := w.beside * math.Sqrt(max(0, 1-cos*cos))
	gap := r3.Dot(normal, r3.Sub(w.at, q))
	return gap >= w.least*cos-side && gap <= w.most*cos+side
}
