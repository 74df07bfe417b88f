package clearance

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// mostProjections bounds the alternating projections. Where they are slow, the
// lower bound is poor and the caller cuts the move further.
const mostProjections = 100

// apart returns bounds of the distance between a convex piece of the head at f
// and an obstacle (shrunk), and the obstacle's place that is nearest or shared.
// It projects from one to the other and back, which leads to the two nearest
// places of two convex sets (Cheney and Goldstein, Proximity maps for convex
// sets, Proc. AMS 10, 1959); the planes square on their difference bound it
// from below.
func (s *search) apart(pc *piece, o *obstacle, f *frame) (lower, upper float64, at r3.Vec) {
	x := o.b.clamp(f.tip)
	for range mostProjections {
		y := f.place(s.c.head.project(pc, f.local(x)))
		x = o.b.clamp(y)
		d := r3.Sub(x, y)
		upper = r3.Norm(d)
		if upper <= noGap {
			return 0, upper, x
		}
		n := r3.Scale(1/upper, d)
		least := r3.Dot(n, o.b.c) - math.Abs(n.X)*o.b.h.X - math.Abs(n.Y)*o.b.h.Y - math.Abs(n.Z)*o.b.h.Z
		lower = max(lower, least-r3.Dot(n, f.tip)-s.c.head.support(pc, f.direction(n)))
		if lower > noGap && upper-lower <= fineness {
			break
		}
	}
	return lower, upper, x
}

// project returns the place of a piece that is nearest to p (head frame).
func (s *shape) project(pc *piece, p r3.Vec) r3.Vec {
	if pc.part.Box {
		return pc.box.clamp(p)
	}
	a, rho := s.axial(p)
	na, nr, inside := pc.nearest(a, rho)
	if inside {
		return p
	}
	b, y := p.X*s.cos-p.Z*s.sin, p.Y
	if rho > 0 {
		b, y = b*nr/rho, y*nr/rho
	}
	return r3.Vec{X: na*s.sin + b*s.cos, Y: y, Z: na*s.cos - b*s.sin}
}

// support returns how far a piece reaches along the unit vector n (head frame).
func (s *shape) support(pc *piece, n r3.Vec) float64 {
	if pc.part.Box {
		b := &pc.box
		return r3.Dot(n, b.c) + math.Abs(n.X)*b.h.X + math.Abs(n.Y)*b.h.Y + math.Abs(n.Z)*b.h.Z
	}
	na := n.X*s.sin + n.Z*s.cos
	b := n.X*s.cos - n.Z*s.sin
	nr := math.Sqrt(b*b + n.Y*n.Y)
	return max(na*pc.a0+nr*pc.r0, na*pc.a1+nr*pc.r1)
}
