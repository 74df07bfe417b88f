package clearance

import (
	"math"

	"conewright/geom/machine"

	"gonum.org/v1/gonum/spatial/r3"
)

// frame is the head at one moment, and how far it gets from there within the
// piece of the move that the moment is the middle of. Its own frame turns and leans
// with it.
type frame struct {
	tip      r3.Vec
	sin, cos float64 // of the azimuth
	lean     float64 // machine.Pose.Lean, radians
	sl, cl   float64 // its sine and cosine
	swing    float64 // radians, of the lean, either way
	run      float64 // mm, of the tip, either way
	along    float64 // mm, of that, along the nozzle axis
	turn     float64 // radians, either way
	t, half  float64 // the moment within the move, 0 to 1; the piece, either way

	// As they were when the piece was begun; they only sink.
	allowed, noteUnder float64
	flat               bool // the short cut holds
}

func (s *search) frame(t0, t1 float64) frame { return frameOf(s.c.head, s.a, s.b, t0, t1) }

// frameOf returns the frame of the piece [t0, t1] of the move from a to b.
func frameOf(h *shape, a, b machine.Pose, t0, t1 float64) frame {
	t, half := (t0+t1)/2, (t1-t0)/2
	d := r3.Sub(b.Tip, a.Tip)
	da := b.Azimuth - a.Azimuth
	f := frame{tip: r3.Add(a.Tip, r3.Scale(t, d)), run: half * math.Sqrt(r3.Norm2(d)), turn: half * math.Abs(da), t: t, half: half}
	f.sin, f.cos = math.Sincos(a.Azimuth + t*da)
	f.cl = 1
	if a.Lean != 0 || b.Lean != 0 {
		f.lean, f.swing = a.Lean+t*(b.Lean-a.Lean), half*math.Abs(b.Lean-a.Lean)
		f.sl, f.cl = math.Sincos(f.lean)
	}
	l := f.direction(d)
	f.along = half * math.Abs(l.X*h.sin+l.Z*h.cos)
	return f
}

// local brings a place into the head's frame.
func (f *frame) local(p r3.Vec) r3.Vec {
	x, y := p.X-f.tip.X, p.Y-f.tip.Y
	return f.upright(r3.Vec{X: x*f.cos + y*f.sin, Y: y*f.cos - x*f.sin, Z: p.Z - f.tip.Z})
}

// leans reports that an axis leans the head in the piece.
func (f *frame) leans() bool { return f.lean != 0 || f.swing != 0 }

// upright takes the lean off a vector.
func (f *frame) upright(p r3.Vec) r3.Vec {
	if f.lean == 0 {
		return p
	}
	return r3.Vec{X: p.X*f.cl - p.Z*f.sl, Y: p.Y, Z: p.X*f.sl + p.Z*f.cl}
}

// leaning leans a vector.
func (f *frame) leaning(p r3.Vec) r3.Vec {
	if f.lean == 0 {
		return p
	}
	return r3.Vec{X: p.X*f.cl + p.Z*f.sl, Y: p.Y, Z: p.Z*f.cl - p.X*f.sl}
}

// toward turns a direction so that x points toward the lean; z stays upright.
func (f *frame) toward(d r3.Vec) r3.Vec {
	return r3.Vec{X: d.X*f.cos + d.Y*f.sin, Y: d.Y*f.cos - d.X*f.sin, Z: d.Z}
}

// direction brings a direction into the head's frame.
func (f *frame) direction(d r3.Vec) r3.Vec {
	return f.upright(f.toward(d))
}

// place brings a place of the head's frame back to the bed's.
func (f *frame) place(p r3.Vec) r3.Vec {
	p = f.leaning(p)
	return r3.Vec{X: f.tip.X + p.X*f.cos - p.Y*f.sin, Y: f.tip.Y + p.X*f.sin + p.Y*f.cos, Z: f.tip.Z + p.Z}
}

// axis returns the nozzle axis in the bed's frame.
func (f *frame) axis(h *shape) r3.Vec {
	l := f.leaning(r3.Vec{X: h.sin, Z: h.cos})
	return r3.Vec{X: l.X * f.cos, Y: l.X * f.sin, Z: l.Z}
}

// slip bounds how far a place within r of the local place p gets, seen from
// the head, within the piece: the tip's run, and the turn times the place's
// distance from the tip in plan.
func (f *frame) slip(p r3.Vec, r float64) float64 {
	if f.leans() { // the place's distance from the tip bounds that from either axis
		return f.run + (f.turn+f.swing)*(r3.Norm(p)+r)
	}
	if f.turn == 0 {
		return f.run
	}
	return f.run + f.turn*(math.Sqrt(p.X*p.X+p.Y*p.Y)+r)
}

// rise bounds how far what is within r of c gets along the nozzle axis, seen
// from the head, within the piece: the tip's run along the axis, and the way
// of the axis' end, sin(tilt) x turn, times the distance from the tip.
func (f *frame) rise(h *shape, c r3.Vec, r float64) float64 {
	if f.leans() {
		return f.along + (f.turn+f.swing)*(r3.Norm(c)+r+f.run)
	}
	if f.turn == 0 {
		return f.along
	}
	return f.along + f.turn*h.sin*(math.Sqrt(r3.Norm2(c))+r+f.run)
}
