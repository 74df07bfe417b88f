package machine

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Rotary is one turning axis of a card. Its angle is sense x (word - zero),
// right-handed about About.
type Rotary struct {
	Letter   string      `json:"letter"`    // ISO 841: A, B, C; U, V, W where a firmware turns on them
	On       string      `json:"on"`        // head | bed
	About    [3]float64  `json:"about"`     // direction of the axis, all turning axes at zero
	At       [3]float64  `json:"at"`        // a point on it: seen from the reference point (head), in bed coordinates (bed), mm
	Sense    float64     `json:"sense"`     // +1 or -1
	Zero     float64     `json:"zero"`      // word at angle 0, degrees
	Range    *[2]float64 `json:"range"`     // of the word; nil: turns without end
	MaxSpeed float64     `json:"max_speed"` // degrees/s
	MaxAccel float64     `json:"max_accel"` // degrees/s2
}

// Values of Rotary.On.
const (
	OnHead = "head"
	OnBed  = "bed"
)

// Linear holds the directions along which growing words move the head against
// the bed: unit vectors, three that aren't in one plane.
type Linear struct {
	X [3]float64 `json:"x"`
	Y [3]float64 `json:"y"`
	Z [3]float64 `json:"z"`
}

// Turning returns the card's turning axes as in `rotary`, in the card's order. A
// swivel is one axis of the head about z through the reference point.
func (c *Card) Turning() []Rotary {
	if s := c.Swivel; s != nil {
		return []Rotary{{
			Letter: s.Letter, On: OnHead, About: [3]float64{0, 0, 1},
			Sense: s.Sense, Zero: s.Zero, Range: s.Range, MaxSpeed: s.MaxSpeed, MaxAccel: s.MaxAccel,
		}}
	}
	return c.Rotary
}

// tipAtZero returns the tip seen from the reference point, all axes at zero, mm.
func (c *Card) tipAtZero() r3.Vec {
	if c.Swivel != nil {
		return vector(c.Swivel.TipOffset)
	}
	return vector(c.Head.Tip)
}

// angle returns the axis' angle, radians, of a word in degrees.
func (a *Rotary) angle(word float64) float64 { return a.Sense * (word - a.Zero) * math.Pi / 180 }

// word returns the word, degrees, of an angle in radians.
func (a *Rotary) word(angle float64) float64 { return a.Zero + a.Sense*angle*180/math.Pi }

// inRange reports that the axis can stand at a word.
func (a *Rotary) inRange(word float64) bool {
	return a.Range == nil || word >= a.Range[0] && word <= a.Range[1]
}

// near returns the word of the same direction (whole turns apart) that is
// nearest to last and within range; ok is false where no turn of it is.
func (a *Rotary) near(word, last float64) (near float64, ok bool) {
	near = word + 360*math.Round((last-word)/360)
	if a.Range == nil {
		return near, true
	}
	if near > a.Range[1] {
		near -= 360 * math.Ceil((near-a.Range[1])/360)
	}
	if near < a.Range[0] {
		near += 360 * math.Ceil((a.Range[0]-near)/360)
	}
	return near, a.inRange(near)
}

func vector(v [3]float64) r3.Vec { return r3.Vec{X: v[0], Y: v[1], Z: v[2]} }
