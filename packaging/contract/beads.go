package contract

import (
	"math"

	"conewright/packaging/reading"

	"gonum.org/v1/gonum/spatial/r3"
)

// rounding is what words of three decimals may be off, with a turning word's.
const rounding = 0.003

// beads checks every bead's interior against the planar motion, the bed rule
// and the nozzle's stand.
func (c *check) beads() {
	plans := make([]*planar, len(c.zones))
	for i, z := range c.zones {
		plans[i] = c.readPlanar(z)
	}
	square := newReach(c.log.Machine, c.kin)
	for i := range c.path.Steps {
		s := &c.path.Steps[i]
		if s.Zone < 0 || !s.Extrudes() {
			continue
		}
		if plan := plans[s.Zone]; plan != nil {
			c.bead(s, plan)
		}
		c.stands(s, square, i)
	}
}

// bead checks that the middle of a bead lies on a planned bead of its shell, all
// along, or higher where the bed rule raised it.
func (c *check) bead(s *reading.Step, plan *planar) {
	z := c.zones[s.Zone]
	const pieces = 4
	worst, aside, low := 0.0, 0.0, math.Inf(1)
	for i := range pieces + 1 {
		p := c.kin.Pose(s.From.Between(s.To, float64(i)/pieces))
		room := p.Tip.Z - c.leastHeight(p, z, r3.Vec{Z: 1})
		low = math.Min(low, room)
		if room < c.log.Job.Tolerance || c.overCap(p, z) {
			continue // raised, or may be
		}
		m, _ := reading.Middle(p, z)
		layer, off := plan.nearest(m.Z + *z.LayerHeight/2 + z.Field.At(m.X, m.Y) - *z.Drop)
		worst = math.Max(worst, off)
		if layer >= 0 {
			aside = math.Max(aside, plan.off(layer, m.X, m.Y))
		}
	}
	slack := c.log.Job.Tolerance + rounding
	if worst > slack {
		c.wrong("line %d: a bead strays %.4f mm from the nearest shell", s.Line, worst)
	}
	if aside > slack {
		c.wrong("line %d: a bead lies %.4f mm beside the planned ones of its shell", s.Line, aside)
	}
	if low < -rounding {
		c.wrong("line %d: the tip is %.4f mm too near to the bed", s.Line, -low)
	}
}

// leastHeight is how high over a base of that normal the tip stays: half a
// layer, or so that its rim is clear.
func (c *check) leastHeight(p reading.Pose, z *reading.Zone, base r3.Vec) float64 {
	cos := math.Max(-1, math.Min(1, r3.Dot(p.Back, base)))
	return math.Max(*z.LayerHeight/2, c.log.Machine.Rim()*math.Sqrt(1-cos*cos))
}

// overCap reports that the tip is so near over a cut's plane that the bed rule
// may have raised it.
func (c *check) overCap(p reading.Pose, z *reading.Zone) bool {
	for _, cut := range c.log.Job.Cuts(z.Name) {
		n := r3.Unit(r3.Vec{X: cut.Normal[0], Y: cut.Normal[1], Z: cut.Normal[2]})
		if n.Z < 1e-6 {
			continue
		}
		over := r3.Dot(r3.Sub(p.Tip, r3.Vec{X: cut.Point[0], Y: cut.Point[1], Z: cut.Point[2]}), n) / n.Z
		if over < c.leastHeight(p, z, n)+c.log.Job.Tolerance {
			return true
		}
	}
	return false
}

// stands checks that the nozzle stands as square on the shell as the axes can,
// at the end of a bead.
func (c *check) stands(s *reading.Step, square *reach, i int) {
	z := c.zones[s.Zone]
	p := c.kin.Pose(s.To)
	m, _ := reading.Middle(p, z)
	crease := z.Field.Crease(m.X, m.Y)
	const eitherSide = 0.015 // mm from a crease
	if crease < eitherSide+rounding {
		return
	}
	n := z.Field.Normal(m.X, m.Y)
	turned := math.Atan(2*rounding/crease) * 180 / math.Pi
	off := angle(p.Back, n)
	if w := c.log.Machine.Swivel; w != nil {
		gx, gy := z.Field.Gradient(m.X, m.Y)
		if math.Hypot(gx, gy) < 1e-9 {
			return
		}
		want, have := math.Atan2(gy, gx)*180/math.Pi, math.Atan2(p.Back.Y, p.Back.X)*180/math.Pi
		if by := math.Abs(math.Remainder(have-want, 360)); by > 0.05+turned {
			c.wrong("line %d: the head leans toward %.2f, the shell falls toward %.2f", s.Line, have, want)
		}
		return
	}
	const seldom = 7 // a general machine's reach takes long to search
	if i%seldom != 0 {
		return
	}
	const mostOff = 0.5 // degrees
	if best := square.best(n); off > best+mostOff+turned {
		c.wrong("line %d: the nozzle stands %.2f degrees off square, its axes reach %.2f", s.Line, off, best)
	}
}

func angle(a, b r3.Vec) float64 {
	return math.Acos(math.Max(-1, math.Min(1, r3.Dot(a, b)))) * 180 / math.Pi
}
