package clearance

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// piece is one convex part of the head: a truncated cone of the profile or a
// box.
type piece struct {
	part           Part
	a0, r0, a1, r1 float64
	box            box
}

// split returns the convex parts of the head.
func (s *shape) split() []piece {
	var out []piece
	p := s.profile
	for i := range max(1, len(p)-1) {
		j := min(i+1, len(p)-1)
		out = append(out, piece{part: Part{Index: i}, a0: p[i][0], r0: p[i][1], a1: p[j][0], r1: p[j][1]})
	}
	for i, b := range s.boxes {
		out = append(out, piece{part: Part{Box: true, Index: i}, box: b})
	}
	return out
}

// nearest returns the point of the cone's surface, in its half section, that is
// nearest to (a, rho), and whether (a, rho) lies inside.
func (pc *piece) nearest(a, rho float64) (na, nr float64, inside bool) {
	inside = a > pc.a0 && a < pc.a1 && rho < pc.r0+(pc.r1-pc.r0)*(a-pc.a0)/(pc.a1-pc.a0)
	best := math.Inf(1)
	for _, e := range [3][4]float64{{pc.a0, pc.r0, pc.a1, pc.r1}, {pc.a0, 0, pc.a0, pc.r0}, {pc.a1, pc.r1, pc.a1, 0}} {
		qa, qr := nearOn(a, rho, e[0], e[1], e[2], e[3])
		if d := (a-qa)*(a-qa) + (rho-qr)*(rho-qr); d < best {
			best, na, nr = d, qa, qr
		}
	}
	return na, nr, inside
}

// probe is a rectangle in the head's frame, grown by a ball.
type probe struct {
	c, u, v r3.Vec // centre; unit vectors
	hu, hv  float64
	rb      float64
	limit   float64 // distances from here on don't matter
}

// touched is how a probe stands to the head.
type touched struct {
	d    float64 // signed distance of the centre's ball; infinite: over limit, or it doesn't count
	part Part    // that is nearest to it
	low  float64 // lower bound of the signed distance of the whole rectangle's
}

// touch measures a probe against the whole head. The centre doesn't count where
// all that comes near the head does so less than tip_free from the tip: judged
// at the centre itself and at its ball's foremost point. low counts all.
//
// The signed distance from a convex body is a convex function, so each of its
// tangent planes bounds it from below: the slope at the centre, a unit vector
// from the body's nearest place, times the half edges of the rectangle. Inside the
// profile, whose pieces together aren't convex, it falls by no more than the way.
func (s *shape) touch(p *probe) touched {
	t := touched{d: math.Inf(1), low: math.Inf(1)}
	r := math.Sqrt(p.hu*p.hu + p.hv*p.hv)
	far := r3.Norm2(p.c) >= s.free*s.free
	x := axialFrame{s.sin, s.cos}.in(p.c)
	rho := math.Sqrt(x.Y*x.Y + x.Z*x.Z)
	for i := range s.pieces {
		pc := &s.pieces[i]
		var sd, whole float64      // signed distance of the centre from the piece, and from the whole profile
		var slope, foremost r3.Vec // in either frame
		var u, v r3.Vec
		if pc.part.Box {
			if pc.box.atLeast(p.c)-p.rb-r >= p.limit {
				continue
			}
			var near r3.Vec
			sd, near = pc.box.signed(p.c)
			slope, foremost = slopes(p.c, near, sd, p.rb)
			whole, u, v = sd, p.u, p.v
		} else {
			if max(pc.a0-x.X, x.X-pc.a1, rho-max(pc.r0, pc.r1))-p.rb-r >= p.limit {
				continue
			}
			na, nr, inside := pc.nearest(x.X, rho)
			sd = math.Sqrt((x.X-na)*(x.X-na) + (rho-nr)*(rho-nr))
			whole = sd
			if inside {
				// The way out of a piece may lead into the next one.
				sd, whole = -sd, s.profileDistance(x.X, rho)
			}
			near := r3.Vec{X: na, Y: nr}
			if rho > 0 {
				near = r3.Vec{X: na, Y: x.Y * nr / rho, Z: x.Z * nr / rho}
			}
			slope, foremost = slopes(x, near, sd, p.rb)
			f := axialFrame{s.sin, s.cos}
			u, v = f.in(p.u), f.in(p.v)
		}
		fall := r
		if whole == sd && sd != 0 {
			fall = math.Abs(r3.Dot(slope, u))*p.hu + math.Abs(r3.Dot(slope, v))*p.hv
		}
		t.low = min(t.low, whole-p.rb-fall)
		if far && whole-p.rb < t.d && r3.Norm2(foremost) >= s.free*s.free {
			t.d, t.part = whole-p.rb, pc.part
		}
	}
	return t
}

// slopes returns the gradient of the signed distance sd at p and the place
// that lies rb further down it.
func slopes(p, near r3.Vec, sd, rb float64) (slope, foremost r3.Vec) {
	if sd == 0 {
		return r3.Vec{}, p
	}
	slope = r3.Scale(1/sd, r3.Sub(p, near))
	return slope, r3.Sub(p, r3.Scale(rb, slope))
}

// axialFrame turns the head's frame so that x runs along the nozzle axis.
type axialFrame struct{ sin, cos float64 }

func (f axialFrame) in(p r3.Vec) r3.Vec {
	return r3.Vec{X: p.X*f.sin + p.Z*f.cos, Y: p.X*f.cos - p.Z*f.sin, Z: p.Y}
}
