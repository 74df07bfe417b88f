package unwarp

import (
	"math"

	"conewright/geom/machine"
	"conewright/geom/placement"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// nozzle is the way in which plastic leaves: the lean of the nozzle's axis and
// the layer height of the zone (CONTRACT, Formulas, placement).
type nozzle struct {
	sin, cos float64 // of the tilt from vertical; a straight nozzle has 0 and 1
	layer    float64 // planar layer height, mm
	lean     float64 // machine.Pose.Lean, radians: all over the zone; follows: on its steepest shells
	follows  bool    // an axis leans it anew wherever shells are less steep: see on
	tilt     float64 // of the head, radians
	card     *machine.Card
	fixed    bool    // it leans toward azimuth 0, whatever the shells do
	most     float64 // fixed: the greatest slope of the zone's shells
}

// newNozzle returns the nozzle as it stands in a zone. An axis that leans the head
// brings it square to the zone's shells.
func newNozzle(card *machine.Card, z *Zone) nozzle {
	lean := card.LeanOn(math.Atan(z.Field.Slope()))
	axis := card.Axis(machine.Pose{Lean: lean})
	return nozzle{sin: axis.X, cos: axis.Z, layer: z.LayerHeight, lean: lean, fixed: card.LeansFixed(), most: z.Field.Slope(),
		follows: card.Leans() && !z.Field.EvenSlope(), tilt: card.Head.Tilt * math.Pi / 180, card: card}
}

// on returns the nozzle as it stands on shells of a slope.
func (n *nozzle) on(slope float64) nozzle {
	if !n.follows {
		return *n
	}
	return n.leaning(n.card.LeanOn(math.Atan(slope)))
}

// leaning returns the nozzle where its axis leans the head by so much, radians.
func (n *nozzle) leaning(lean float64) nozzle {
	at := *n
	if n.follows {
		at.lean = lean
		at.sin, at.cos = math.Sincos(n.tilt + lean)
	}
	return at
}

// nozzleAt returns the nozzle as it stands to lay the bead at t.
func (p *path) nozzleAt(t float64) nozzle {
	if !p.nozzle.follows {
		return *p.nozzle
	}
	return p.nozzle.on(r2.Norm(p.leaning(p.at(t), r2.Vec{X: 1}))) // as steep on either side of a crease
}

// offSquare returns the angle, radians, between the nozzle and the normal of shells
// whose lift has the gradient g. A head that turns leans toward the gradient.
func (n *nozzle) offSquare(g r2.Vec) float64 {
	slope := math.Hypot(g.X, g.Y)
	if n.fixed {
		return math.Acos(math.Min(1, (n.sin*g.X+n.cos)/math.Sqrt(1+slope*slope)))
	}
	return math.Abs(math.Atan2(n.sin, n.cos) - math.Atan(slope))
}

// tilted reports that the tip doesn't stand right above the bead.
func (n *nozzle) tilted() bool { return n.sin != 0 }

// axis returns the unit vector up along the nozzle when the head leans toward
// the azimuth, radians.
func (n *nozzle) axis(azimuth float64) r3.Vec {
	if n.sin == 0 {
		return r3.Vec{Z: 1}
	}
	sin, cos := math.Sincos(azimuth)
	return r3.Vec{X: n.sin * cos, Y: n.sin * sin, Z: n.cos}
}

// reach returns a bound of how far in plan the tip stands from the middle of
// its bead, mm.
func (n *nozzle) reach() float64 {
	if n.fixed { // shells that fall the other way
		return n.layer / 2 * n.sin / math.Max(n.cos-n.sin*n.most, placement.LeastRise*n.cos)
	}
	return n.layer / 2 * n.sin / n.cos
}

// offset returns the tip seen from the middle of the bead at t, where the head
// leans toward the gradient; on a crease that of the path before it (back) or
// after it.
func (p *path) offset(t float64, back bool) r3.Vec {
	n := p.nozzle
	if n.follows {
		there := p.nozzleAt(t)
		n = &there
	}
	if !n.tilted() {
		return r3.Vec{Z: n.layer / 2}
	}
	q := p.at(t)
	if !n.fixed && !p.nearAxis(q) {
		if g, ok := p.field.Grad(p.beside(q, t, back)); ok {
			slope := math.Sqrt(g.X*g.X + g.Y*g.Y)
			k := n.layer / 2 / (n.sin*slope + n.cos)
			return r3.Vec{X: k * n.sin * g.X / slope, Y: k * n.sin * g.Y / slope, Z: k * n.cos}
		}
	}
	d := n.axis(p.leanBeside(t, back))
	return placement.Offset(p.gradient(q, t, d), n.layer, d)
}

// gradient returns the gradient at t, a place q, as a nozzle along d takes it: on a
// crease that of the side toward which it leans; near an axis, where rounded places
// don't tell a direction, it points the way in which the nozzle leans.
func (p *path) gradient(q r2.Vec, t float64, d r3.Vec) r2.Vec {
	if p.nozzle.fixed { // no axis or crease lies in the zone
		g, _ := p.field.Grad(q)
		return g
	}
	lean := r2.Vec{X: d.X, Y: d.Y}
	if p.nearAxis(q) {
		return p.leaning(q, lean)
	}
	if !(p.field.Crease(q) < eitherSide) {
		g, _ := p.field.Grad(q)
		return g
	}
	before, _ := p.field.Grad(p.beside(q, t, true))
	if p.lo > 0 || p.hi < 1 {
		return before
	}
	after, _ := p.field.Grad(p.beside(q, t, false))
	if r2.Dot(before, lean) > r2.Dot(after, lean) {
		return before
	}
	return after
}

// tip returns where the tip stands in plan at t.
func (p *path) tip(t float64) r2.Vec {
	q := p.at(t)
	if !p.nozzle.tilted() {
		return q
	}
	o := p.offset(t, t > 0.5)
	return r2.Vec{X: q.X + o.X, Y: q.Y + o.Y}
}

// sunk returns how far the tip stands below the path's height (see raw) at t: a
// tilted nozzle's lies beside the bead, and lower than right above it.
func (p *path) sunk(t float64) float64 {
	if !p.nozzle.tilted() {
		return 0
	}
	return p.nozzle.layer/2 - p.offset(t, t > 0.5).Z
}

// bends reports that the tip's place, seen from the bead, may change along the
// path.
func (p *path) bends() bool { return p.nozzle.tilted() && !p.line.Straight(0) }

// sinks reports that sunk changes along the path.
func (p *path) sinks() bool {
	if !p.bends() {
		return false
	}
	a, b := p.sunk(0), p.sunk(1)
	return math.Abs(a-b) > evenSunk || math.Abs(p.sunk(0.5)-a) > evenSunk
}

// evenSunk, mm, is a difference of heights that is nothing beside a rounded word.
const evenSunk = 1e-7
