// Package describe helps to make a machine card of what somebody sees at a
// machine: the kinds of machines to begin with, the axes in one form, and what is
// seen when an axis moves.
package describe

import (
	"math"
	"slices"

	"conewright/geom/machine"

	"gonum.org/v1/gonum/spatial/r3"
)

// Kind tells what turns on a machine.
type Kind string

// The kinds.
const (
	Nothing    Kind = "nothing"      // three linear axes
	Head       Kind = "head"         // the head turns about an upright axis
	Bed        Kind = "bed"          // the bed turns about an upright axis
	TwoOnHead  Kind = "two-on-head"  // the head turns and leans
	TwoOnBed   Kind = "two-on-bed"   // the bed tilts and turns
	HeadAndBed Kind = "head-and-bed" // the head leans, the bed turns
	Belt       Kind = "belt"         // nothing turns, the bed is a belt
)

// Kinds lists the kinds, simple ones first.
func Kinds() []Kind {
	return []Kind{Nothing, Head, Bed, TwoOnHead, TwoOnBed, HeadAndBed, Belt}
}

// templates are the built-in cards that a kind begins with.
var templates = map[Kind]string{
	Nothing: "straight", Head: "swivel-45", Bed: "turning-bed-45", TwoOnHead: "two-axis-head",
	TwoOnBed: "trunnion", HeadAndBed: "head-and-bed", Belt: "belt-45",
}

// Begin returns a new card of a kind with plausible numbers; nil: the kind isn't
// known.
func Begin(kind Kind) *machine.Card {
	c, ok := machine.Builtin(templates[kind])
	if !ok {
		return nil
	}
	return c
}

// KindOf returns the kind of a card; "": none of them.
func KindOf(c *machine.Card) Kind {
	var head, bed, upright int
	for _, a := range c.Turning() {
		if Upright(a.About) {
			upright++
		}
		if a.On == machine.OnBed {
			bed++
		} else {
			head++
		}
	}
	switch {
	case c.Endless() && head+bed == 0:
		return Belt
	case c.Endless() || c.Slants() || upright != 1 && head+bed > 0:
		return ""
	case head == 0 && bed == 0:
		return Nothing
	case head == 1 && bed == 0:
		return Head
	case head == 0 && bed == 1:
		return Bed
	case head == 2:
		return TwoOnHead
	case bed == 2:
		return TwoOnBed
	}
	return HeadAndBed
}

// Upright reports that an axis stands along z rather than level.
func Upright(about [3]float64) bool {
	return math.Abs(about[2]) > math.Sqrt2/2*r3.Norm(vector(about))
}

// Axis is a turning axis of a card, whether the card tells it as its swivel or
// among `rotary`. It points into the card.
type Axis struct {
	Letter             *string
	On                 string
	About              [3]float64
	Sense, Zero        *float64
	Range              **[2]float64
	MaxSpeed, MaxAccel *float64
	At                 *[3]float64 // nil: of a swivel, whose axis is the reference
}

// Axes returns a card's turning axes, in the card's order.
func Axes(c *machine.Card) (list []Axis) {
	if s := c.Swivel; s != nil {
		return []Axis{{&s.Letter, machine.OnHead, [3]float64{0, 0, 1}, &s.Sense, &s.Zero, &s.Range, &s.MaxSpeed, &s.MaxAccel, nil}}
	}
	for i := range c.Rotary {
		a := &c.Rotary[i]
		list = append(list, Axis{&a.Letter, a.On, a.About, &a.Sense, &a.Zero, &a.Range, &a.MaxSpeed, &a.MaxAccel, &a.At})
	}
	return list
}

// LayLevel lets a level turning axis run along x, or along y. What tells where it
// stands beside the tip or on the bed goes along.
func LayLevel(a *machine.Rotary, alongX bool) {
	if alongX == (math.Abs(a.About[0]) > math.Abs(a.About[1])) {
		return
	}
	a.About = [3]float64{0, 1, 0}
	if alongX {
		a.About = [3]float64{1, 0, 0}
	}
	if a.On == machine.OnHead {
		a.At[0], a.At[1] = a.At[1], a.At[0]
	}
}

// Gantry is how a belt's machine moves: which words run the belt and the axis that
// rises, and how steep that one is.
type Gantry struct {
	Belt, Rise string  // "X", "Y" or "Z"
	Angle      float64 // of the rising axis from the belt, degrees
}

var letters = []string{"X", "Y", "Z"}

// GantryOf returns a belt card's gantry. ok is false where the belt doesn't run
// along x, or another axis than one rises in its plane.
func GantryOf(c *machine.Card) (g Gantry, ok bool) {
	directions := c.Linears()
	for i, l := range [3]machine.Limits{c.Travel.X, c.Travel.Y, c.Travel.Z} {
		d := directions[i]
		switch {
		case l.Endless() && d.X > 0.999:
			g.Belt = letters[i]
		case !l.Endless() && math.Abs(d.Y) < 1e-3 && d.Z > 0.05:
			g.Rise, g.Angle = letters[i], math.Atan2(d.Z, -d.X)*180/math.Pi
		case l.Endless() || d.Y < 0.999:
			return g, false
		}
	}
	return g, g.Belt != "" && g.Rise != ""
}

// SetGantry writes a belt's gantry into a card. Limits and rates go with the axes
// when letters are exchanged. A gantry whose belt and rising axis have the same
// letter gets the next one for the rising axis.
func SetGantry(c *machine.Card, g Gantry) {
	old, ok := GantryOf(c)
	if !ok {
		return
	}
	if g.Rise == g.Belt {
		g.Rise = letters[(slices.Index(letters, g.Belt)+1)%3]
		if old.Rise == g.Belt {
			g.Rise = old.Belt
		}
	}
	places := func(g Gantry) (p [3]int) { // of belt, rise and the third axis
		p[0], p[1] = slices.Index(letters, g.Belt), slices.Index(letters, g.Rise)
		p[2] = 3 - p[0] - p[1]
		return p
	}
	from, to := places(old), places(g)
	was := *c
	limits := func(c *machine.Card) [3]*machine.Limits {
		return [3]*machine.Limits{&c.Travel.X, &c.Travel.Y, &c.Travel.Z}
	}
	rates := func(r *machine.AxisRates) [3]*float64 { return [3]*float64{&r.X, &r.Y, &r.Z} }
	sin, cos := math.Sincos(g.Angle * math.Pi / 180)
	directions := [3][3]float64{{1, 0, 0}, {-cos, 0, sin}, {0, 1, 0}}
	c.Linear = &machine.Linear{}
	linear := [3]*[3]float64{&c.Linear.X, &c.Linear.Y, &c.Linear.Z}
	for k := range 3 {
		*limits(c)[to[k]] = *limits(&was)[from[k]]
		*rates(&c.MaxSpeed)[to[k]] = *rates(&was.MaxSpeed)[from[k]]
		*rates(&c.MaxAccel)[to[k]] = *rates(&was.MaxAccel)[from[k]]
		*linear[to[k]] = directions[k]
	}
}

func vector(v [3]float64) r3.Vec { return r3.Vec{X: v[0], Y: v[1], Z: v[2]} }
