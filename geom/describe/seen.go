package describe

import (
	"math"

	"conewright/geom/machine"

	"gonum.org/v1/gonum/spatial/r3"
)

// Move is an axis of a machine, as a test moves it.
type Move struct {
	Letter string
	Linear int // place among X, Y, Z; -1: a turning axis
	Turn   int // place among the turning axes; -1: a linear axis
}

// Moves lists a card's axes: linear ones first.
func Moves(c *machine.Card) (list []Move) {
	for i, l := range letters {
		list = append(list, Move{l, i, -1})
	}
	for i, a := range c.Turning() {
		list = append(list, Move{a.Letter, -1, i})
	}
	return list
}

// Seen tells by a short code what is seen while the word of an axis grows: who
// moves and how. Codes begin with "linear." (the head goes against the bed),
// "belt." (the belt runs), "head." or "bed." (it turns). Then follow, for a linear
// axis and a belt, "right", "left", "back", "front", "up", "down"; for a head,
// "counter" or "clockwise" from above, or whither its upper end leans; for a bed,
// the same turns, or which edge rises.
func Seen(c *machine.Card, m Move) string {
	if m.Linear >= 0 {
		d := c.Linears()[m.Linear]
		if [3]machine.Limits{c.Travel.X, c.Travel.Y, c.Travel.Z}[m.Linear].Endless() {
			return "belt." + toward(r3.Scale(-1, d))
		}
		return "linear." + toward(d)
	}
	a := c.Turning()[m.Turn]
	about := r3.Scale(a.Sense, vector(a.About))
	if Upright(a.About) {
		if about.Z > 0 {
			return a.On + ".counter"
		}
		return a.On + ".clockwise"
	}
	top := r3.Cross(about, r3.Vec{Z: 1}) // whither a point above the axis goes
	if a.On == machine.OnBed {
		top = r3.Scale(-1, top) // that edge sinks, the other one rises
	}
	top.Z = 0
	return a.On + "." + toward(top)
}

// steep is the least upward share of a direction that counts as up or down.
const steep = 0.3

// toward names a direction.
func toward(d r3.Vec) string {
	switch {
	case d.Z > steep:
		return "up"
	case d.Z < -steep:
		return "down"
	case math.Abs(d.X) >= math.Abs(d.Y) && d.X > 0:
		return "right"
	case math.Abs(d.X) >= math.Abs(d.Y):
		return "left"
	case d.Y > 0:
		return "back"
	}
	return "front"
}

// TestPlace returns words at which the tip stands over the middle of the bed, so
// high that every axis can be moved in a drawing; turning axes stand at zero.
func TestPlace(c *machine.Card) machine.Words {
	k := machine.NewKinematics(c)
	x, y := c.BedCentre()
	if at, ok := c.TurningBed(); ok {
		x, y = at.X, at.Y
	}
	const high = 60 // mm: clear of the bed, near enough to see how it stands to it
	return k.Words(r3.Vec{X: x, Y: y, Z: high}, k.Home())
}

// Step returns how far a test moves an axis up or down, words: mm or degrees. A
// turning axis keeps to its range, from where all turning axes stand at zero.
func Step(c *machine.Card, m Move, most float64, up bool) float64 {
	step := most
	if !up {
		step = -most
	}
	if m.Turn < 0 {
		return step
	}
	a := c.Turning()[m.Turn]
	if r := a.Range; r != nil {
		step = math.Max(r[0]-a.Zero, math.Min(r[1]-a.Zero, step))
	}
	return step
}

// Moved returns words with one axis moved.
func Moved(w machine.Words, m Move, by float64) machine.Words {
	switch {
	case m.Linear == 0:
		w.X += by
	case m.Linear == 1:
		w.Y += by
	case m.Linear == 2:
		w.Z += by
	default:
		w.Turn[m.Turn] += by
	}
	return w
}
