package clearance

import (
	"context"
	"math"
	"testing"

	"conewright/geom/field"
	"conewright/geom/machine"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// scene writes motions by hand: beads of 0.45 x 0.2 mm and travels.
type scene struct {
	t     testing.TB
	o     Options
	steps []Step
	at    machine.Pose
	line  int
	zone  int
	f     field.Field
	tilt  float64
}

const (
	beadWidth  = 0.45
	beadHeight = 0.2
)

var beadArea = (beadWidth-beadHeight)*beadHeight + math.Pi/4*beadHeight*beadHeight

// tilted is a slim head of 45 degrees, straight a blunt upright one.
func tilted() machine.Head {
	return machine.Head{Tilt: 45, OffSquare: 20, TipFree: 1,
		Profile: [][2]float64{{0, 0.3}, {1, 0.8}, {6, 4.5}, {20, 12}, {40, 14}},
		Boxes:   []machine.Box{{Min: [3]float64{-20, -25, 45}, Max: [3]float64{60, 25, 90}}}}
}

func straight() machine.Head {
	return machine.Head{OffSquare: 20, TipFree: 1,
		Profile: [][2]float64{{0, 0.4}, {1, 0.9}, {8, 5}, {20, 9}, {40, 14}},
		Boxes:   []machine.Box{{Min: [3]float64{-30, -25, 25}, Max: [3]float64{30, 25, 60}}}}
}

func newScene(t testing.TB, head machine.Head, obstacles ...machine.Box) *scene {
	return &scene{t: t, o: Options{Head: head, Obstacles: obstacles}, at: machine.Pose{Tip: r3.Vec{Z: 100}}, tilt: head.Tilt}
}

func (s *scene) step(to machine.Pose, area float64, up r3.Vec) {
	s.line++
	s.steps = append(s.steps, Step{From: s.at, To: to, Area: area, Thickness: beadHeight, Up: up, Line: s.line, Zone: s.zone})
	s.at = to
}

// on returns the pose on the shell of the scene's field through (p, warped
// height c), the head leaning as the field wants.
func (s *scene) on(p r2.Vec, c float64) machine.Pose {
	pose := machine.Pose{Tip: r3.Vec{X: p.X, Y: p.Y, Z: c - s.f.At(p)}, Azimuth: s.at.Azimuth}
	if az, ok := s.f.Azimuth(p); ok && s.tilt > 0 {
		pose.Azimuth += math.Remainder(az-s.at.Azimuth, 2*math.Pi)
	}
	return pose
}

// over goes to a pose by way of a height that is free of everything.
func (s *scene) over(to machine.Pose, z float64) {
	a, b := s.at, to
	z = max(z, a.Tip.Z, b.Tip.Z)
	a.Tip.Z, b.Tip.Z = z, z
	s.step(a, 0, r3.Vec{})
	s.step(b, 0, r3.Vec{})
	s.step(to, 0, r3.Vec{})
}

// ring lays a closed ring of radius r about axis on the shell of height c.
func (s *scene) ring(axis r2.Vec, r, c float64) {
	n := max(12, int(2*math.Pi*r/0.6))
	for i := range n + 1 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		p := r2.Vec{X: axis.X + r*cos, Y: axis.Y + r*sin}
		pose := s.on(p, c)
		if i == 0 {
			s.over(pose, pose.Tip.Z+0.4)
			continue
		}
		s.step(pose, beadArea, s.f.Normal(p))
	}
}

// disc fills shells of height c0, c0 + h, ... with rings from r0 to r1, and
// leaves out what would lie under the bed.
func (s *scene) disc(axis r2.Vec, r0, r1, c0 float64, shells int) {
	h := beadHeight * math.Sqrt(1+s.f.Slope()*s.f.Slope())
	for k := range shells {
		for r := r0; r <= r1; r += beadWidth / math.Sqrt(1+s.f.Slope()*s.f.Slope()) {
			c := c0 + float64(k)*h
			if c-s.f.At(r2.Vec{X: axis.X + r, Y: axis.Y}) > 0.22 {
				s.ring(axis, r, c)
			}
		}
	}
}

// line lays a straight bead.
func (s *scene) lay(x0, y0, x1, y1, c float64) {
	s.over(s.on(r2.Vec{X: x0, Y: y0}, c), 60)
	s.step(s.on(r2.Vec{X: x1, Y: y1}, c), beadArea, s.f.Normal(r2.Vec{X: x1, Y: y1}))
}

func (s *scene) check() Report {
	r, err := Check(context.Background(), s.o, MotionOf(s.steps), nil)
	if err != nil {
		s.t.Fatal(err)
	}
	return r
}
