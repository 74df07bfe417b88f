package machine

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// leaner is what two turning axes do that turn the head about z and lean it, as
// the part sees it: a head with two axes, one axis on the head and one on the bed,
// or a bed that tilts and turns. Seen from the part, the head's own x, y and z are
// Rz(azimuth) Ry(lean) Rz(-base) of the bed's.
type leaner struct {
	azimuth, lean          int     // of Card.Rotary
	senseAzimuth, senseEnd float64 // of growing words: toward a greater azimuth, a greater lean
	base                   float64 // azimuth toward which a growing lean goes with all axes at zero, radians
	least, most            float64 // lean, radians
}

// leaner returns the card's azimuth and lean axes. ok is false where the card has
// others: then one of the axes isn't along z as the part sees it, the other isn't
// level, or a tilted nozzle doesn't stand in the plane in which it leans.
//
// Each direction of the nozzle is reached on two sides: Ry(lean) with an azimuth,
// or Ry(-lean) with the opposite azimuth. The side with the greater reach is the
// card's; where they reach equally far, the one nearer to all axes at zero.
func (c *Card) leaner() (l leaner, ok bool) {
	if len(c.Rotary) != 2 {
		return l, false
	}
	outer, inner := 0, 1 // as the part sees them: what is nearer to the part comes first
	if c.Rotary[1].On == OnBed {
		outer, inner = 1, 0
	}
	up, level := &c.Rotary[outer], &c.Rotary[inner]
	if up.About[0] != 0 || up.About[1] != 0 || level.About[2] != 0 {
		return l, false
	}
	l = leaner{azimuth: outer, lean: inner, senseAzimuth: up.seen() * math.Copysign(1, up.About[2]), senseEnd: level.seen()}
	l.base = math.Atan2(-level.About[0], level.About[1])
	l.least, l.most = -math.Pi, math.Pi
	if r := level.Range; r != nil {
		a, b := l.senseEnd*(r[0]-level.Zero)*math.Pi/180, l.senseEnd*(r[1]-level.Zero)*math.Pi/180
		l.least, l.most = math.Min(a, b), math.Max(a, b)
	}
	const hair = 1e-9
	further, nearer := -l.least > l.most+hair, math.Abs(l.base) > math.Pi/2+hair
	if c.Head.Tilt != 0 {
		further = nearer // the nozzle's own tilt tells the side
	}
	if further || nearer && -l.least > l.most-hair {
		l.base -= math.Copysign(math.Pi, l.base)
		l.senseEnd, l.least, l.most = -l.senseEnd, -l.most, -l.least
	}
	return l, c.Head.Tilt == 0 || math.Abs(l.base) < hair
}

// seen returns the sense of a growing word as the part sees it: a bed that turns
// one way turns the head the other way.
func (a *Rotary) seen() float64 {
	if a.On == OnBed {
		return -a.Sense
	}
	return a.Sense
}

// words returns the words of the turning axes.
func (l *leaner) words(c *Card, p *Pose) (t Turn) {
	t[l.azimuth] = c.Rotary[l.azimuth].Zero + l.senseAzimuth*(p.Azimuth-l.base)*180/math.Pi
	t[l.lean] = c.Rotary[l.lean].Zero + l.senseEnd*p.Lean*180/math.Pi
	return t
}

// pose fills in azimuth and lean; the inverse of words.
func (l *leaner) pose(c *Card, t Turn, p *Pose) {
	p.Azimuth = l.base + l.senseAzimuth*(t[l.azimuth]-c.Rotary[l.azimuth].Zero)*math.Pi/180
	p.Lean = l.senseEnd * (t[l.lean] - c.Rotary[l.lean].Zero) * math.Pi / 180
}

// Leans reports that an axis leans the head.
func (c *Card) Leans() bool {
	_, ok := c.leaner()
	return ok
}

// LeanAxis returns the axis that leans the head and its place in Turning; nil:
// none does.
func (c *Card) LeanAxis() (a *Rotary, index int) {
	l, ok := c.leaner()
	if !ok {
		return nil, 0
	}
	return &c.Rotary[l.lean], l.lean
}

// AzimuthIndex returns the place in Turning of the axis that turns the azimuth.
func (c *Card) AzimuthIndex() int {
	if l, ok := c.leaner(); ok {
		return l.azimuth
	}
	return 0
}

// LeanOn returns how far the head leans (Pose.Lean) where shells stand at an angle
// from level, radians: so far that the nozzle is square to them, or as near to it
// as its axis can.
func (c *Card) LeanOn(angle float64) float64 {
	l, ok := c.leaner()
	if !ok {
		return 0
	}
	return math.Max(l.least, math.Min(l.most, angle-c.Head.Tilt*math.Pi/180))
}

// TiltOn returns the nozzle's angle from vertical, radians, where shells stand at
// an angle from level: the head's tilt and what it leans beyond that.
func (c *Card) TiltOn(angle float64) float64 {
	return c.Head.Tilt*math.Pi/180 + c.LeanOn(angle)
}

// Tilts returns the nozzle's least and greatest angle from vertical, radians: both are
// the head's tilt where no axis leans it.
func (c *Card) Tilts() (least, most float64) {
	tilt := c.Head.Tilt * math.Pi / 180
	l, ok := c.leaner()
	if !ok {
		return tilt, tilt
	}
	return math.Max(0, tilt+l.least), math.Min(math.Pi/2, tilt+l.most)
}

// BedTurns reports that a turning axis is on the bed.
func (c *Card) BedTurns() bool {
	return slices.ContainsFunc(c.Rotary, func(a Rotary) bool { return a.On == OnBed })
}

// BedTilts reports that the axis that leans the head, as the part sees it, tilts the
// bed.
func (c *Card) BedTilts() bool {
	a, _ := c.LeanAxis()
	return a != nil && a.On == OnBed
}

// Swing bounds how far a tip stands from the axes that turn it, mm: from the
// points that the card gives of those on the head.
func (c *Card) Swing(tip r3.Vec) (far float64) {
	for i := range c.Rotary {
		a := &c.Rotary[i]
		from := c.tipAtZero()
		if a.On == OnBed {
			from = tip
		}
		far += r3.Norm(r3.Sub(from, vector(a.At)))
	}
	return far
}

// Axis returns the unit vector from the tip up along the nozzle.
func (c *Card) Axis(p Pose) r3.Vec {
	if p.Lean == 0 {
		return c.NozzleAxis(p.Azimuth)
	}
	st, ct := math.Sincos(c.Head.Tilt*math.Pi/180 + p.Lean)
	sin, cos := math.Sincos(p.Azimuth)
	return r3.Vec{X: st * cos, Y: st * sin, Z: ct}
}

// HeadSeen returns the head as poses see it: its boxes with x toward the lean,
// with azimuth and lean 0. The caller may change them.
func (c *Card) HeadSeen() Head {
	h := c.Head
	h.Boxes = slices.Clone(h.Boxes)
	l, ok := c.leaner()
	if !ok || l.base == 0 || len(h.Boxes) == 0 {
		return h
	}
	sin, cos := math.Sincos(-l.base)
	for i := range h.Boxes {
		h.Boxes[i] = h.Boxes[i].turned(func(p r3.Vec) r3.Vec {
			return r3.Vec{X: p.X*cos - p.Y*sin, Y: p.X*sin + p.Y*cos, Z: p.Z}
		})
	}
	return h
}

// Leaning returns a box of the head, seen as HeadSeen says, that holds it where
// the head leans, radians.
func (b *Box) Leaning(lean float64) Box {
	if lean == 0 {
		return *b
	}
	sin, cos := math.Sincos(lean)
	return b.turned(func(p r3.Vec) r3.Vec {
		return r3.Vec{X: p.X*cos + p.Z*sin, Y: p.Y, Z: p.Z*cos - p.X*sin}
	})
}

// turned returns the axis-parallel box about a box whose corners are turned.
func (b *Box) turned(turn func(r3.Vec) r3.Vec) Box {
	lo, hi := r3.Vec{X: math.Inf(1), Y: math.Inf(1), Z: math.Inf(1)}, r3.Vec{X: math.Inf(-1), Y: math.Inf(-1), Z: math.Inf(-1)}
	for i := range 8 {
		corner := vector(b.Min)
		if i&1 != 0 {
			corner.X = b.Max[0]
		}
		if i&2 != 0 {
			corner.Y = b.Max[1]
		}
		if i&4 != 0 {
			corner.Z = b.Max[2]
		}
		p := turn(corner)
		lo = r3.Vec{X: math.Min(lo.X, p.X), Y: math.Min(lo.Y, p.Y), Z: math.Min(lo.Z, p.Z)}
		hi = r3.Vec{X: math.Max(hi.X, p.X), Y: math.Max(hi.Y, p.Y), Z: math.Max(hi.Z, p.Z)}
	}
	return Box{Min: [3]float64{lo.X, lo.Y, lo.Z}, Max: [3]float64{hi.X, hi.Y, hi.Z}}
}

// leaningTravel bounds where the tip of a card whose head leans can stand in the
// part's frame: how far the words lead, and how far the axes carry the tip
// beyond that.
func (c *Card) leaningTravel() Travel {
	l, _ := c.leaner()
	k := c.kinematics()
	lo, hi := r3.Vec{X: math.Inf(1), Y: math.Inf(1), Z: math.Inf(1)}, r3.Vec{X: math.Inf(-1), Y: math.Inf(-1), Z: math.Inf(-1)}
	const steps = 16
	for i := range 8 {
		w := Words{X: c.Travel.X[i&1], Y: c.Travel.Y[i>>1&1], Z: c.Travel.Z[i>>2&1]}
		for a := range steps {
			for b := range steps + 1 {
				lean := l.least + (math.Min(l.most, math.Pi/2)-l.least)*float64(b)/steps
				w.Turn = l.words(c, &Pose{Azimuth: 2 * math.Pi * float64(a) / steps, Lean: math.Max(lean, 0)})
				p := k.Tip(w)
				lo = r3.Vec{X: math.Min(lo.X, p.X), Y: math.Min(lo.Y, p.Y), Z: math.Min(lo.Z, p.Z)}
				hi = r3.Vec{X: math.Max(hi.X, p.X), Y: math.Max(hi.Y, p.Y), Z: math.Max(hi.Z, p.Z)}
			}
		}
	}
	return Travel{X: Limits{lo.X, hi.X}, Y: Limits{lo.Y, hi.Y}, Z: Limits{math.Max(lo.Z, c.referenceTravel().Z[0]), hi.Z}}
}
