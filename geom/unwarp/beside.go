package unwarp

import (
	"math"

	"conewright/geom/machine"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// blockRings takes the obstacles that stand still beside a bed that turns about z for
// rings about its axis, as the part sees them. Beside a bed that tilts they keep no
// place that could be told: there travels keep over them by overBeside.
func (c *Corrector) blockRings() {
	beside := c.card.ObstaclesBeside()
	if len(beside) == 0 || c.turning.tilts {
		return
	}
	axis := r2.Vec{}
	for _, a := range c.card.Rotary {
		if a.On == machine.OnBed {
			axis = r2.Vec{X: a.At[0], Y: a.At[1]}
		}
	}
	for _, i := range beside {
		o := &c.card.Obstacles[i]
		near := r2.Vec{X: math.Max(o.Min[0]-axis.X, axis.X-o.Max[0]), Y: math.Max(o.Min[1]-axis.Y, axis.Y-o.Max[1])}
		least := math.Hypot(math.Max(0, near.X), math.Max(0, near.Y))
		most := math.Hypot(math.Max(o.Max[0]-axis.X, axis.X-o.Min[0]), math.Max(o.Max[1]-axis.Y, axis.Y-o.Min[1]))
		c.ground.ring(axis, least, most, o.Max[2])
	}
}

// ring raises all that lies from least to most from a place, mm.
func (g *terrain) ring(about r2.Vec, least, most, z float64) {
	for j := range g.ny {
		for i := range g.nx {
			d := r2.Norm(r2.Sub(r2.Vec{X: g.min.X + (float64(i)+0.5)*g.cell, Y: g.min.Y + (float64(j)+0.5)*g.cell}, about))
			if k := j*g.nx + i; d > least-g.cell && d < most+g.cell {
				g.z[k] = max(g.z[k], float32(z))
			}
		}
	}
}

// obstacleTop returns how high obstacles reach over the bed, mm, those beside a bed
// that tilts apart.
func (c *Corrector) obstacleTop() (top float64) {
	for i := range c.card.Obstacles {
		if o := &c.card.Obstacles[i]; !c.turning.tilts || o.On == machine.OnBed {
			top = math.Max(top, o.Max[2])
		}
	}
	return top
}

// overBeside returns how high the tip must stand over its place on a bed that tilts
// for the head to be above all obstacles beside the bed, as the machine sees it.
func (c *Corrector) overBeside(p machine.Pose, t machine.Turn) float64 {
	beside := c.card.ObstaclesBeside()
	if len(beside) == 0 || !c.turning.tilts {
		return math.Inf(-1)
	}
	top := math.Inf(-1)
	for _, i := range beside {
		top = math.Max(top, c.card.Obstacles[i].Max[2])
	}
	up := p
	up.Tip = r3.Add(p.Tip, r3.Vec{Z: 1})
	for _, pose := range []*machine.Pose{&p, &up} {
		at := c.card.Pose(machine.Words{Turn: t})
		pose.Azimuth, pose.Lean = at.Azimuth, at.Lean
	}
	have := c.card.MachinePose(c.card.Words(p)).Tip.Z
	rise := c.card.MachinePose(c.card.Words(up)).Tip.Z - have
	if rise < leastRise {
		return math.Inf(-1) // the clearance of the motion tells
	}
	return math.Min(p.Tip.Z+(top+crossing-math.Min(0, c.headLow())-have)/rise, c.ceiling())
}
