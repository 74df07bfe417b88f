package readback

import (
	"math"

	"conewright/geom/field"
	"conewright/geom/machine"
	"conewright/geom/placement"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// laid is a moment of a step: the pose, and the bead that is laid there.
type laid struct {
	tip    r3.Vec
	axis   r3.Vec // of the nozzle
	middle r3.Vec // of the bead
	// sunk is how far the tip stands below half a layer right above the middle of
	// the bead, where a straight nozzle's stands.
	sunk float64
}

// laidAt returns what a step lays at t between its ends, as a controller
// interpolates.
func (c *checker) laidAt(s *Step, t float64) laid {
	l := laid{
		tip: r3.Add(s.From.Tip, r3.Scale(t, r3.Sub(s.To.Tip, s.From.Tip))),
		axis: c.o.Card.Axis(machine.Pose{
			Azimuth: s.From.Azimuth + t*(s.To.Azimuth-s.From.Azimuth), Lean: s.From.Lean + t*(s.To.Lean-s.From.Lean)}),
	}
	if c.apart {
		a, b := &s.Words[0], &s.Words[1]
		w := machine.Words{X: a.X + t*(b.X-a.X), Y: a.Y + t*(b.Y-a.Y), Z: a.Z + t*(b.Z-a.Z)}
		for i := range w.Turn {
			w.Turn[i] = a.Turn[i] + t*(b.Turn[i]-a.Turn[i])
		}
		l.tip = c.o.Card.Pose(w).Tip
	}
	z := c.sources[c.zone].Zone
	if l.axis.X == 0 && l.axis.Y == 0 { // right above the bead
		l.middle = l.tip
		l.middle.Z -= z.LayerHeight / 2
		return l
	}
	l.middle = c.middle(l.tip, l.axis)
	l.sunk = z.LayerHeight/2 - (l.tip.Z - l.middle.Z)
	return l
}

// moments are what a step lays at its begin, half way and at its end: asked for
// more than once, and dear.
type moments struct {
	step             *Step
	begin, half, end laid
}

func (c *checker) moments(s *Step) moments {
	return moments{step: s, begin: c.laidAt(s, 0), half: c.laidAt(s, 0.5), end: c.laidAt(s, 1)}
}

// at is laidAt for the step.
func (m *moments) at(c *checker, t float64) laid {
	switch t {
	case 0:
		return m.begin
	case 0.5:
		return m.half
	case 1:
		return m.end
	}
	return c.laidAt(m.step, t)
}

// middle returns the middle of the bead that a tip lays with its nozzle along d.
// On the axis the gradient has no direction: there it is that of the lean.
func (c *checker) middle(tip, d r3.Vec) r3.Vec {
	z := c.sources[c.zone].Zone
	if c.mayLayOnAxis(tip, d) {
		if m := placement.Middle(&leaning{&z.Field, plan(d)}, z.LayerHeight, tip, d); c.onAxis(plan(m)) {
			return m
		}
	}
	m := placement.Middle(&z.Field, z.LayerHeight, tip, d)
	if !(z.Field.Crease(plan(m)) < nearCrease) && !(z.Field.Crease(plan(c.square(tip, d))) < nearCrease) {
		return m
	}
	return placement.Middle(&side{&z.Field, plan(d)}, z.LayerHeight, tip, d)
}

// square returns about where the middle lies of a bead that is laid square to its
// shell. Beside a crease the tip may stand over the other side, where another
// middle would answer to it.
func (c *checker) square(tip, d r3.Vec) r3.Vec {
	z := c.sources[c.zone].Zone
	g, _ := z.Field.Grad(plan(tip))
	return r3.Sub(tip, r3.Scale(z.LayerHeight/2/(math.Hypot(d.X, d.Y)*r2.Norm(g)+d.Z), d))
}

// leaning is a field near an axis as a nozzle sees it that leans one way: as steep
// as the field, toward the lean.
type leaning struct {
	field *field.Field
	lean  r2.Vec
}

// Grad returns the gradient at p, turned toward the lean; where it vanishes or
// isn't defined, as steep as just beside p.
func (l *leaning) Grad(p r2.Vec) (g r2.Vec, ok bool) {
	toward := r2.Unit(l.lean)
	g, ok = l.field.Grad(p)
	for _, beside := range [...]r2.Vec{toward, {X: -toward.Y, Y: toward.X}} { // along a line itself nothing is steep
		if !ok {
			g, ok = l.field.Grad(r2.Add(p, r2.Scale(besideAxis, beside)))
		}
	}
	return r2.Scale(r2.Norm(g), toward), true
}

// besideAxis is how far off an axis, mm, its shells' steepness is asked for.
const besideAxis = 0.005

// side is a field near a crease as a nozzle sees it that leans one way: either
// side's gradient is right there, and the nozzle stands square to one of them.
type side struct {
	field *field.Field
	lean  r2.Vec
}

// Grad returns the gradient near p that points most the way of the lean.
func (s *side) Grad(p r2.Vec) (best r2.Vec, ok bool) {
	best, ok = s.field.Grad(p)
	for i := range 8 {
		sin, cos := math.Sincos(float64(i) * math.Pi / 4)
		g, told := s.field.Grad(r2.Add(p, r2.Vec{X: nearCrease * cos, Y: nearCrease * sin}))
		if told && (!ok || r2.Dot(g, s.lean) > r2.Dot(best, s.lean)+sameSide) {
			best, ok = g, true
		}
	}
	return best, ok
}

// sameSide is a difference of slopes that doesn't tell another side of a crease.
const sameSide = 0.02

// onAxis reports that a place can't be told from the axis itself: it lies within
// the reach in which beads are broken there, and a rounding.
func (c *checker) onAxis(p r2.Vec) bool {
	return c.sources[c.zone].Zone.Field.Within(p, axisReach)
}

const axisReach = 0.007 // mm

// mayLayOnAxis reports whether a tip is near enough to an axis to lay a bead on it.
// Of the nozzle's rise over a shell placement believes at least half of d.Z, so the
// middle lies at most a layer height / d.Z from the tip; twice that leaves room.
func (c *checker) mayLayOnAxis(tip, d r3.Vec) bool {
	z := c.sources[c.zone].Zone
	return !(d.Z > 0) || z.Field.Within(plan(tip), axisReach+2*z.LayerHeight/d.Z)
}
