package clearance

import (
	"errors"
	"fmt"
	"math"

	"conewright/geom/machine"
	"conewright/geom/message"

	"gonum.org/v1/gonum/spatial/r3"
)

// shape is the head as a solid: a body of revolution about the nozzle axis and
// boxes. Its frame is the tip's: x toward the lean, y to its left, z up.
type shape struct {
	sin, cos float64 // of the tilt
	free     float64 // tip_free
	profile  [][2]float64
	a0, a1   float64 // axial span of the profile
	rMax     float64
	boxes    []box
	pieces   []piece // the same, as convex parts
	reach    float64 // greatest horizontal distance of any point from the tip
	far      float64 // greatest distance of any point from the tip
	tilt     float64 // radians
	table    distanceTable
	flat     flat
}

// box is an axis-parallel box by its centre and half size.
type box struct{ c, h r3.Vec }

func newBox(b machine.Box) box {
	lo, hi := r3.Vec{X: b.Min[0], Y: b.Min[1], Z: b.Min[2]}, r3.Vec{X: b.Max[0], Y: b.Max[1], Z: b.Max[2]}
	return box{r3.Scale(0.5, r3.Add(lo, hi)), r3.Scale(0.5, r3.Sub(hi, lo))}
}

func newShape(h machine.Head) (*shape, error) {
	if len(h.Profile) == 0 {
		return nil, errors.New("clearance: the head has no profile: give the nozzle's shape on the machine card")
	}
	s := &shape{free: h.TipFree, profile: h.Profile, a0: h.Profile[0][0], a1: h.Profile[len(h.Profile)-1][0]}
	s.tilt = h.Tilt * math.Pi / 180
	s.sin, s.cos = math.Sincos(s.tilt)
	for i, p := range h.Profile {
		if !(p[0] >= 0 && p[0] <= maxPlace && p[1] >= 0 && p[1] <= maxPlace) || i > 0 && p[0] < h.Profile[i-1][0] {
			return nil, fmt.Errorf("clearance: head profile point %d, %v: list [distance, radius] from the tip upward", i, p)
		}
		s.rMax = max(s.rMax, p[1])
		s.reach = max(s.reach, p[0]*s.sin+p[1])
		s.far = max(s.far, math.Hypot(p[0], p[1]))
	}
	for _, b := range h.Boxes {
		s.boxes = append(s.boxes, newBox(b))
		for _, x := range [2]float64{b.Min[0], b.Max[0]} {
			for _, y := range [2]float64{b.Min[1], b.Max[1]} {
				s.reach = max(s.reach, math.Hypot(x, y))
				s.far = max(s.far, math.Hypot(math.Hypot(x, y), max(math.Abs(b.Min[2]), math.Abs(b.Max[2]))))
			}
		}
	}
	s.pieces = s.split()
	s.table = s.tabulate()
	s.flat = s.levelled()
	return s, nil
}

// axis returns the nozzle axis of a pose.
func (s *shape) axis(p machine.Pose) r3.Vec {
	sin, cos := math.Sincos(p.Azimuth)
	st, ct := s.leant(p.Lean)
	return r3.Vec{X: st * cos, Y: st * sin, Z: ct}
}

// leant returns sine and cosine of the nozzle's angle from vertical where the head
// leans beyond its tilt, radians.
func (s *shape) leant(lean float64) (sin, cos float64) {
	if lean == 0 {
		return s.sin, s.cos
	}
	return math.Sincos(s.tilt + lean)
}

// width bounds how far the head reaches from its tip in plan.
func (s *shape) width(f *frame) float64 {
	if f.leans() {
		return s.far
	}
	return s.reach
}

// axial returns distance from the tip along the nozzle axis, and from the axis.
func (s *shape) axial(p r3.Vec) (a, rho float64) {
	b := p.X*s.cos - p.Z*s.sin
	return p.X*s.sin + p.Z*s.cos, math.Sqrt(b*b + p.Y*p.Y)
}

// Part is the part of the head that a clearance belongs to.
type Part struct {
	Box   bool
	Index int // of the box, or of the profile's point where the cone begins
}

// String returns the part in plain words, counting from 1.
func (p Part) String() string { return p.Message().String() }

// Message names the part.
func (p Part) Message() message.Text {
	if p.Box {
		return message.New("box %d", p.Index+1)
	}
	return message.New("nozzle profile, cone %d", p.Index+1)
}

// profileDistance returns the signed distance (negative inside) of the point
// (a, rho) of a half plane through the axis from the profile's body.
func (s *shape) profileDistance(a, rho float64) float64 {
	p := s.profile
	best := math.Inf(1)
	near := func(a0, r0, a1, r1 float64) {
		qa, qr := nearOn(a, rho, a0, r0, a1, r1)
		best = min(best, (a-qa)*(a-qa)+(rho-qr)*(rho-qr))
	}
	last := len(p) - 1
	near(p[0][0], 0, p[0][0], p[0][1])
	inside := false
	for i := range last {
		near(p[i][0], p[i][1], p[i+1][0], p[i+1][1])
		if a >= p[i][0] && a < p[i+1][0] {
			inside = rho <= p[i][1]+(p[i+1][1]-p[i][1])*(a-p[i][0])/(p[i+1][0]-p[i][0])
		}
	}
	near(p[last][0], p[last][1], p[last][0], 0)
	if inside {
		return -math.Sqrt(best)
	}
	return math.Sqrt(best)
}

// nearOn returns the point of the segment from (a0, r0) to (a1, r1) that is
// nearest to (a, rho).
func nearOn(a, rho, a0, r0, a1, r1 float64) (na, nr float64) {
	da, dr := a1-a0, r1-r0
	t := 0.0
	if l := da*da + dr*dr; l > 0 {
		t = min(max(((a-a0)*da+(rho-r0)*dr)/l, 0), 1)
	}
	return a0 + t*da, r0 + t*dr
}

// signed returns the signed distance of p from a box and the nearest point of
// its surface.
func (b *box) signed(p r3.Vec) (d float64, near r3.Vec) {
	q := r3.Sub(p, b.c)
	e := r3.Vec{X: math.Abs(q.X) - b.h.X, Y: math.Abs(q.Y) - b.h.Y, Z: math.Abs(q.Z) - b.h.Z}
	if e.X <= 0 && e.Y <= 0 && e.Z <= 0 {
		switch near = p; {
		case e.X >= e.Y && e.X >= e.Z:
			near.X = b.c.X + math.Copysign(b.h.X, q.X)
			return e.X, near
		case e.Y >= e.Z:
			near.Y = b.c.Y + math.Copysign(b.h.Y, q.Y)
			return e.Y, near
		default:
			near.Z = b.c.Z + math.Copysign(b.h.Z, q.Z)
			return e.Z, near
		}
	}
	near = r3.Add(b.c, r3.Vec{
		X: min(max(q.X, -b.h.X), b.h.X), Y: min(max(q.Y, -b.h.Y), b.h.Y), Z: min(max(q.Z, -b.h.Z), b.h.Z)})
	return math.Sqrt(r3.Norm2(r3.Sub(p, near))), near
}

// atLeast returns a lower bound of the signed distance of p from a box.
func (b *box) atLeast(p r3.Vec) float64 {
	return max(math.Abs(p.X-b.c.X)-b.h.X, math.Abs(p.Y-b.c.Y)-b.h.Y, math.Abs(p.Z-b.c.Z)-b.h.Z)
}

// boxWithin reports whether p (head frame) may lie nearer to a box of the head
// than need: never false where it does.
func (s *shape) boxWithin(p r3.Vec, need float64) bool {
	for i := range s.boxes {
		if s.boxes[i].atLeast(p) < need {
			return true
		}
	}
	return false
}

// profileWithin reports the same of the profile.
func (s *shape) profileWithin(p r3.Vec, need float64) bool {
	a := p.X*s.sin + p.Z*s.cos
	if s.a0-a >= need || a-s.a1 >= need {
		return false
	}
	b := p.X*s.cos - p.Z*s.sin
	r2 := b*b + p.Y*p.Y
	if lim := s.rMax + need; lim <= 0 || r2 >= lim*lim {
		return false
	}
	return s.table.atLeast(s, a, math.Sqrt(r2)) < need
}

// distanceTable holds a lower bound of profileDistance for square patches of
// the half plane around the profile.
type distanceTable struct {
	a0, step float64
	na, nr   int
	d        []float32
}

// tableMargin is how far around the profile the table reaches, mm.
const tableMargin = 8

// tabulate fills a table whose patches are 0.2 mm, or as many as 512 a side.
func (s *shape) tabulate() distanceTable {
	span := max(s.a1-s.a0+2*tableMargin, s.rMax+tableMargin)
	step := max(0.2, span/512)
	t := distanceTable{a0: s.a0 - tableMargin, step: step,
		na: int((s.a1-s.a0+2*tableMargin)/step) + 1, nr: int((s.rMax+tableMargin)/step) + 1}
	t.d = make([]float32, t.na*t.nr)
	for i := range t.na {
		for j := range t.nr {
			d := s.profileDistance(t.a0+(float64(i)+0.5)*step, (float64(j)+0.5)*step)
			t.d[i*t.nr+j] = float32(d - step*math.Sqrt2/2 - 1e-4)
		}
	}
	return t
}

func (t *distanceTable) atLeast(s *shape, a, rho float64) float64 {
	x, y := (a-t.a0)/t.step, rho/t.step
	if x >= 0 && x < float64(t.na) && y < float64(t.nr) {
		return float64(t.d[int(x)*t.nr+int(y)])
	}
	return s.profileDistance(a, rho)
}

// leantBoxes returns boxes, x toward the lean, z upright, that hold the head's
// where it leans by so much, radians.
func (s *shape) leantBoxes(lean float64) []box {
	if lean == 0 {
		return s.boxes
	}
	out := make([]box, len(s.boxes))
	for i := range s.boxes {
		b := &s.boxes[i]
		lo, hi := r3.Sub(b.c, b.h), r3.Add(b.c, b.h)
		whole := machine.Box{Min: [3]float64{lo.X, lo.Y, lo.Z}, Max: [3]float64{hi.X, hi.Y, hi.Z}}
		out[i] = newBox(whole.Leaning(lean))
	}
	return out
}
