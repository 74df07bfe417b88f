package planner

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"conewright/geom/polygon"
)

// leastSpeed is what cooling may slow a bead down to, mm/s: slower ones heat
// the part by the nozzle's nearness (common practice, no source).
const leastSpeed = 5

// beadSpeed is the speed along layer l's beads: slow on the first layers, and
// so slow that a small layer takes long enough to cool.
func (m *Motion) beadSpeed(l *Layer) float64 {
	o := &m.Options
	speed := o.Speed
	if index := int(math.Round(l.Z/o.LayerHeight)) - 1; index < o.SlowLayers {
		speed = math.Min(speed, o.SlowSpeed)
	}
	beads, travels := l.lengths()
	pause := travels / o.TravelSpeed
	if beads/speed+pause < o.LeastSeconds {
		floor := math.Min(speed, leastSpeed)
		speed = math.Max(floor, math.Min(speed, beads/(o.LeastSeconds-pause)))
	}
	return speed
}

// lengths sums the layer's beads and the travels between them, mm.
func (l *Layer) lengths() (beads, travels float64) {
	var at r2.Vec
	for i := range l.Beads {
		b := &l.Beads[i]
		beads += polygon.PathLength(b.Path, b.Closed)
		if i > 0 {
			travels += r2.Norm(r2.Sub(b.Path[0], at))
		}
		at = b.point(b.points() - 1)
	}
	return beads, travels
}
