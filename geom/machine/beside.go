package machine

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// ObstaclesInPart returns the indices of the obstacles that keep their places in the
// part's frame: those on the bed, and all where no bed turns.
func (c *Card) ObstaclesInPart() (list []int) {
	for i := range c.Obstacles {
		if c.Obstacles[i].On == OnBed || !c.BedTurns() {
			list = append(list, i)
		}
	}
	return list
}

// ObstaclesBeside returns the indices of the obstacles that stand still beside a bed
// that turns.
func (c *Card) ObstaclesBeside() (list []int) {
	for i := range c.Obstacles {
		if c.Obstacles[i].On != OnBed && c.BedTurns() {
			list = append(list, i)
		}
	}
	return list
}

// MachinePose returns where the head stands in the machine's frame, that of the bed
// with all turning axes at zero, as HeadSeen sees heads: only what turns the head
// counts. The card has no axes, or ones that bring the nozzle anywhere (Swivels).
func (c *Card) MachinePose(w Words) Pose {
	k := c.kinematics()
	tip := k.tipFromReference(w.Turn)
	for i, v := range [3]float64{w.X, w.Y, w.Z} {
		tip = r3.Add(tip, r3.Scale(v, k.linear[i]))
	}
	p := c.Pose(w)
	p.Tip = tip
	if l, ok := c.leaner(); ok {
		if c.Rotary[l.azimuth].On == OnBed {
			p.Azimuth = l.base
		}
		if c.Rotary[l.lean].On == OnBed {
			p.Lean = 0
		}
		return p
	}
	if _, ok := c.TurningBed(); ok {
		p.Azimuth = 0
	}
	return p
}

// ToPart brings a place of the machine's frame into the part's frame, with the
// turning axes at t.
func (c *Card) ToPart(t Turn, p r3.Vec) r3.Vec {
	k := c.kinematics()
	for i := range k.axes {
		if k.axes[i].On == OnBed {
			p = k.turnAbout(i, t, p, -1)
		}
	}
	return p
}

// BedTurn returns the angles of the bed's turning axes, radians, 0 to 2 pi: where the
// bed stands.
func (c *Card) BedTurn(t Turn) (angles [MostTurning]float64) {
	for i, a := range c.Turning() {
		if a.On == OnBed {
			angles[i] = math.Mod(math.Mod(a.angle(t[i]), 2*math.Pi)+2*math.Pi, 2*math.Pi)
		}
	}
	return angles
}
