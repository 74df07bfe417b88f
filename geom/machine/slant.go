package machine

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Slants reports that the linear axes aren't those of the bed: words of X, Y and Z
// are then no bed coordinates.
func (c *Card) Slants() bool {
	return c.Linear != nil && *c.Linear != Linear{X: [3]float64{1, 0, 0}, Y: [3]float64{0, 1, 0}, Z: [3]float64{0, 0, 1}}
}

// Endless reports that an axis has no end: the card is one of a belt.
func (c *Card) Endless() bool {
	return c.Travel.X.Endless() || c.Travel.Y.Endless() || c.Travel.Z.Endless()
}

// LeansFixed reports that the nozzle leans by its tilt toward azimuth 0 and no axis
// turns it.
func (c *Card) LeansFixed() bool { return c.Head.Tilt != 0 && !c.Swivels() }

// Linears returns the directions along which growing words of X, Y and Z move the
// head against the bed.
func (c *Card) Linears() [3]r3.Vec {
	if c.Linear == nil {
		return [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}
	}
	return [3]r3.Vec{vector(c.Linear.X), vector(c.Linear.Y), vector(c.Linear.Z)}
}

// Climb returns how far the words of X, Y and Z go while the head goes by a
// distance, mm, straight up.
func (c *Card) Climb(distance float64) [3]float64 {
	w := words(c.inverseLinear(), r3.Vec{Z: distance})
	return [3]float64{w.X, w.Y, w.Z}
}

// inverseLinear returns the rows that turn a place of the reference point into
// words.
func (c *Card) inverseLinear() [3]r3.Vec {
	d := c.Linears()
	if !c.Slants() {
		return d
	}
	x, y, z := d[0], d[1], d[2]
	volume := r3.Dot(x, r3.Cross(y, z)) // not 0: Check
	return [3]r3.Vec{
		r3.Scale(1/volume, r3.Cross(y, z)), r3.Scale(1/volume, r3.Cross(z, x)), r3.Scale(1/volume, r3.Cross(x, y)),
	}
}

// words returns the linear words of a place of the reference point.
func words(inverse [3]r3.Vec, p r3.Vec) r3.Vec {
	return r3.Vec{X: r3.Dot(inverse[0], p), Y: r3.Dot(inverse[1], p), Z: r3.Dot(inverse[2], p)}
}

// slanted returns words given as a place of the reference point as the card's
// linear axes have them.
func (c *Card) slanted(w Words) Words {
	if c.Slants() {
		p := words(c.inverseLinear(), r3.Vec{X: w.X, Y: w.Y, Z: w.Z})
		w.X, w.Y, w.Z = p.X, p.Y, p.Z
	}
	return w
}

// square is the inverse of slanted.
func (c *Card) square(w Words) Words {
	if c.Slants() {
		d := c.Linears()
		p := r3.Add(r3.Scale(w.X, d[0]), r3.Add(r3.Scale(w.Y, d[1]), r3.Scale(w.Z, d[2])))
		w.X, w.Y, w.Z = p.X, p.Y, p.Z
	}
	return w
}

// referenceTravel bounds where the reference point can stand, mm.
func (c *Card) referenceTravel() Travel {
	if !c.Slants() {
		return c.Travel
	}
	d, limits := c.Linears(), [3]Limits{c.Travel.X, c.Travel.Y, c.Travel.Z}
	along := func(share func(r3.Vec) float64) (sum Limits) {
		for i, l := range limits {
			if s := share(d[i]); s != 0 { // an axis without end doesn't count where it has no share
				sum[0], sum[1] = sum[0]+math.Min(s*l[0], s*l[1]), sum[1]+math.Max(s*l[0], s*l[1])
			}
		}
		return sum
	}
	return Travel{
		X: along(func(v r3.Vec) float64 { return v.X }),
		Y: along(func(v r3.Vec) float64 { return v.Y }),
		Z: along(func(v r3.Vec) float64 { return v.Z }),
	}
}

// BedCentre returns where a part stands that is given no place: the middle of the
// travel in plan; 0 along an axis without end.
func (c *Card) BedCentre() (x, y float64) {
	t := c.Travel
	if c.Slants() {
		t = c.PartTravel()
	}
	middle := func(l Limits) float64 {
		if math.IsInf(l[0], 0) || math.IsInf(l[1], 0) {
			return 0
		}
		return (l[0] + l[1]) / 2
	}
	return middle(t.X), middle(t.Y)
}

// Ramp returns the ramp on which the machine lays its shells without the axis that
// has no end: the plane of the two other axes, as the angle from level and the
// azimuth toward which it falls, radians. A machine without such an axis whose
// nozzle leans and isn't turned has the ramp to which the nozzle is square. ok is
// false on any other machine.
func (c *Card) Ramp() (angle, toward float64, ok bool) {
	sin, cos := math.Sincos(c.Head.Tilt * math.Pi / 180)
	n := r3.Vec{X: sin, Z: cos}
	d := c.Linears()
	for i, l := range [3]Limits{c.Travel.X, c.Travel.Y, c.Travel.Z} {
		if l.Endless() && c.Slants() {
			n = r3.Unit(r3.Cross(d[(i+1)%3], d[(i+2)%3]))
			if n.Z < 0 {
				n = r3.Scale(-1, n)
			}
		}
	}
	const level = 1e-3
	flat := math.Hypot(n.X, n.Y)
	if c.Swivels() || flat < level || n.Z < level {
		return 0, 0, false
	}
	if toward = math.Atan2(n.Y, n.X); toward == 0 {
		toward = 0 // never -0
	}
	return math.Atan2(flat, n.Z), toward, true
}
