package machine

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// upright returns the card's only turning axis where it stands along z, and the
// sense in which its growing word turns the head as the part sees it: a bed that
// turns one way turns the head the other way.
func (c *Card) upright() (a *Rotary, sense float64, ok bool) {
	if len(c.Rotary) != 1 {
		return nil, 0, false
	}
	a = &c.Rotary[0]
	if a.About[0] != 0 || a.About[1] != 0 {
		return nil, 0, false
	}
	sense = a.Sense * math.Copysign(1, a.About[2])
	if a.On == OnBed {
		sense = -sense
	}
	return a, sense, true
}

// Swivels reports that an axis turns the head about z as the part sees it:
// whether it is the head that turns, or the bed.
func (c *Card) Swivels() bool {
	_, _, ok := c.azimuthAxis()
	return ok
}

// azimuthAxis returns zero and sense of the axis that turns the head about z.
func (c *Card) azimuthAxis() (zero, sense float64, ok bool) {
	if c.Swivel != nil {
		return c.Swivel.Zero, c.Swivel.Sense, true
	}
	if l, ok := c.leaner(); ok {
		return c.Rotary[l.azimuth].Zero - l.senseAzimuth*l.base*180/math.Pi, l.senseAzimuth, true
	}
	a, sense, ok := c.upright()
	if !ok {
		return 0, 0, false
	}
	return a.Zero, sense, true
}

// AsSwivel returns the axis that turns the head about z, as the part sees it: the
// card's swivel, or its turning axis that stands along z, with no TipOffset, since
// that is Words' and Pose's matter. nil: there is none. AzimuthOf tells what its
// words stand for.
func (c *Card) AsSwivel() *Swivel {
	if c.Swivel != nil {
		return c.Swivel
	}
	a, sense, ok := c.upright()
	if l, leans := c.leaner(); leans {
		a, sense, ok = &c.Rotary[l.azimuth], l.senseAzimuth, true
	}
	if !ok {
		return nil
	}
	return &Swivel{Letter: a.Letter, Sense: sense, Zero: a.Zero, Range: a.Range, MaxSpeed: a.MaxSpeed, MaxAccel: a.MaxAccel}
}

// TurningBed returns where, in plan, the axis stands about which the bed turns,
// mm; ok is false where no bed turns about z.
func (c *Card) TurningBed() (at r2.Vec, ok bool) {
	a, _, ok := c.upright()
	if !ok || a.On != OnBed {
		return r2.Vec{}, false
	}
	return r2.Vec{X: a.At[0], Y: a.At[1]}, true
}

// WordsArePlaces reports that the words of X and Y are the tip's place, whatever
// the azimuth, but for a shift that never changes (Shift).
func (c *Card) WordsArePlaces() bool {
	if c.Leans() || c.Slants() {
		return false
	}
	if _, ok := c.TurningBed(); ok {
		return false
	}
	a, _, ok := c.upright()
	if ok && (a.At[0] != 0 || a.At[1] != 0) {
		return false
	}
	return c.TipOff() == 0
}

// tipFromAxis returns the tip seen from the head's turning axis in plan, at
// azimuth 0, mm.
func (c *Card) tipFromAxis() r2.Vec {
	if c.Swivel != nil {
		return r2.Vec{X: c.Swivel.TipOffset[0], Y: c.Swivel.TipOffset[1]}
	}
	if a, _, ok := c.upright(); ok && a.On == OnHead {
		return r2.Vec{X: c.Head.Tip[0] - a.At[0], Y: c.Head.Tip[1] - a.At[1]}
	}
	return r2.Vec{}
}

// plan returns the words of X and Y that bring the tip to a place, with the head
// at an azimuth, for a card with an upright axis (CONTRACT, `rotary`).
func (a *Rotary) plan(head *Head, tip r2.Vec, azimuth float64) r2.Vec {
	at, zero := r2.Vec{X: a.At[0], Y: a.At[1]}, r2.Vec{X: head.Tip[0], Y: head.Tip[1]}
	if a.On == OnBed {
		return r2.Sub(r2.Rotate(tip, -azimuth, at), zero)
	}
	return r2.Sub(tip, r2.Rotate(zero, azimuth, at))
}

// tip returns the tip's place in plan at words of X and Y; the inverse of plan.
func (a *Rotary) tip(head *Head, word r2.Vec, azimuth float64) r2.Vec {
	at, zero := r2.Vec{X: a.At[0], Y: a.At[1]}, r2.Vec{X: head.Tip[0], Y: head.Tip[1]}
	if a.On == OnBed {
		return r2.Rotate(r2.Add(word, zero), azimuth, at)
	}
	return r2.Add(word, r2.Rotate(zero, azimuth, at))
}

// Shift returns the tip's place less its words, mm, as far as no axis changes it.
func (c *Card) Shift() r3.Vec {
	if c.Slants() {
		return r3.Vec{}
	}
	return c.tipShift()
}

// tipShift is Shift, seen from the reference point instead of the words.
func (c *Card) tipShift() r3.Vec {
	switch {
	case c.Swivel != nil || c.Leans():
		return r3.Vec{}
	case len(c.Rotary) == 0:
		return vector(c.Head.Tip)
	}
	return r3.Vec{Z: c.Head.Tip[2]}
}

// PartTravel bounds where the tip can stand in the part's frame: the travel of
// the words and the tip's shift, but for a bed that turns, which brings all of a
// disc under the head.
func (c *Card) PartTravel() Travel {
	t := c.referenceTravel()
	shift := c.tipShift()
	for i := range t.X {
		t.X[i], t.Y[i], t.Z[i] = t.X[i]+shift.X, t.Y[i]+shift.Y, t.Z[i]+shift.Z
	}
	if c.Leans() {
		return c.leaningTravel()
	}
	at, ok := c.TurningBed()
	if !ok {
		return t
	}
	far := 0.0
	for _, x := range t.X {
		for _, y := range t.Y {
			far = math.Max(far, math.Hypot(x+c.Head.Tip[0]-at.X, y+c.Head.Tip[1]-at.Y))
		}
	}
	t.X, t.Y = Limits{at.X - far, at.X + far}, Limits{at.Y - far, at.Y + far}
	return t
}
