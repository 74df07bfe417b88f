package clearance

import (
	"math"

	"conewright/geom/machine"
	"conewright/geom/placement"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// strip is the core of a bead: a flat rectangle about a centre line which,
// grown by a ball of radius rb, is the bead: a stadium in cross-section, with
// its middle below the tip along the nozzle's axis (CONTRACT, placement).
type strip struct {
	p    r3.Vec  // where the centre line begins
	u    r3.Vec  // unit, along it
	v    r3.Vec  // unit, across
	n    r3.Vec  // unit, the shell's normal
	l    float64 // length
	hv   float64 // half width of the rectangle
	rb   float64
	laid int // record that laid it
}

// strip returns the core of the bead that record i lays.
func (c *checker) strip(i int) strip {
	before, r := c.rec(i-1), c.rec(i)
	up := r3.Vec{X: float64(r.upX), Y: float64(r.upY)}
	up.Z = math.Sqrt(max(0, 1-up.X*up.X-up.Y*up.Y))
	b := bead{float64(r.width), float64(r.thickness), up}
	s := b.strip(c.head.middle(before.pose(), &b), c.head.middle(r.pose(), &b))
	s.laid = i
	return s
}

// steepestShell is the least z of a shell's normal at which placement is
// computed: 84 degrees, more than any field has.
const steepestShell = 0.1

// middle returns the middle of the bead that a tip lays.
func (s *shape) middle(p machine.Pose, b *bead) r3.Vec {
	if b.up.Z < steepestShell {
		return r3.Sub(p.Tip, r3.Scale(b.thickness/2, b.up))
	}
	g := r2.Vec{X: b.up.X / b.up.Z, Y: b.up.Y / b.up.Z}
	return r3.Sub(p.Tip, placement.Offset(g, b.thickness/b.up.Z, s.axis(p)))
}

// strip returns the core of the bead with the middle line from a to b.
func (laid *bead) strip(a, b r3.Vec) strip {
	up, w, t := laid.up, laid.width, laid.thickness
	d := r3.Sub(b, a)
	l := math.Sqrt(r3.Norm2(d))
	s := strip{n: up, l: l, hv: (w - t) / 2, rb: t / 2}
	if l > 0 {
		s.u = r3.Scale(1/l, d)
	}
	s.p = a
	if v := r3.Cross(s.u, up); r3.Norm2(v) > noLength {
		s.v = r3.Scale(1/math.Sqrt(r3.Norm2(v)), v)
	} else { // laid along the shell's normal: it has no width to speak of
		s.hv = 0
	}
	return s
}

// tracks returns how many lines, evenly spread over its width, a strip is
// sorted into the voxels by, so that none of its points is further than
// off (mm) from one of them.
func (s *strip) tracks(voxel float64) (n int, off float64) {
	n = max(1, int(math.Ceil(2*s.hv/voxel)))
	return n, s.hv/float64(n) + s.rb
}

// track returns where track k of n begins.
func (s *strip) track(k, n int) r3.Vec {
	return r3.Add(s.p, r3.Scale(s.hv*(float64(2*k+1)/float64(n)-1), s.v))
}

// clip returns the stretch [u0, u1] of the line p + u dir, 0 <= u <= l, within a
// box grown by a hair. ok is false where it misses the box.
func clip(p, dir r3.Vec, l float64, lo r3.Vec, edge float64) (u0, u1 float64, ok bool) {
	hair := 1e-3 * edge // hides the rounding of the walk through the voxels
	u0, u1 = 0, l
	slab := func(p, d, lo float64) bool {
		lo, hi := lo-hair, lo+edge+hair
		if math.Abs(d) < 1e-12 {
			return p >= lo && p <= hi
		}
		a, b := (lo-p)/d, (hi-p)/d
		if a > b {
			a, b = b, a
		}
		u0, u1 = max(u0, a), min(u1, b)
		return u0 <= u1
	}
	ok = slab(p.X, dir.X, lo.X) && slab(p.Y, dir.Y, lo.Y) && slab(p.Z, dir.Z, lo.Z)
	return u0, u1, ok
}

// entry is the part of a track that lies in one voxel: the record that laid it,
// and a ball around the bead there: its centre in 255ths of the voxel's edge,
// its radius in hundredths. Of the flat thing that the bead is, it also holds
// a normal, in 127ths, and how far the bead reaches along that, in hundredths.
type entry struct {
	laid   uint32
	c      [3]uint8
	r      uint8 // 255: or more
	nx, ny int8
	thick  uint8 // 255: or more
}

// normal returns the entry's normal, a unit vector pointing up.
func (e *entry) normal() r3.Vec {
	x, y := float64(e.nx)/127, float64(e.ny)/127
	return r3.Vec{X: x, Y: y, Z: math.Sqrt(max(0, 1-x*x-y*y))}
}

// entry returns the entry of track k of so many in the voxel at lo.
func (s *strip) entry(k, tracks int, lo r3.Vec, edge float64) entry {
	p := s.track(k, tracks)
	e := entry{laid: uint32(s.laid), r: 255, thick: 255, nx: int8(126 * s.n.X), ny: int8(126 * s.n.Y)}
	u0, u1, ok := clip(p, s.u, s.l, lo, edge)
	if !ok { // by a hair; try finds the same
		return e
	}
	c := r3.Scale(1/edge, r3.Sub(r3.Add(p, r3.Scale((u0+u1)/2, s.u)), lo))
	for i, v := range [3]float64{c.X, c.Y, c.Z} {
		e.c[i] = uint8(min(max(math.Round(v*255), 0), 255))
	}
	// 0.01: what rounding and the hair move the centre by
	r := math.Sqrt((u1-u0)*(u1-u0)/4+s.hv*s.hv/float64(tracks*tracks)) + s.rb
	e.r = uint8(min(math.Ceil(100*(r/edge+0.01)), 255))
	n := e.normal()
	thick := (u1-u0)/2*math.Abs(r3.Dot(s.u, n)) + s.hv/float64(tracks)*math.Abs(r3.Dot(s.v, n)) + s.rb
	e.thick = uint8(min(math.Ceil(100*(thick/edge+0.01)), 255))
	return e
}

// ball returns the ball of an entry of the voxel at lo.
func (e *entry) ball(lo r3.Vec, edge float64) (c r3.Vec, r float64) {
	k := edge / 255
	c = r3.Vec{X: lo.X + float64(e.c[0])*k, Y: lo.Y + float64(e.c[1])*k, Z: lo.Z + float64(e.c[2])*k}
	if e.r == 255 {
		return c, math.Inf(1)
	}
	return c, float64(e.r) * edge / 100
}
