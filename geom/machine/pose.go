package machine

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Pose is where the tip stands (bed coordinates, mm) and which way the head
// leans (azimuth, radians, unwrapped: full turns count).
type Pose struct {
	Tip     r3.Vec
	Azimuth float64
	// Lean is how far an axis leans the head toward the azimuth, beyond the card's
	// tilt, radians; 0 on cards without such an axis.
	Lean float64
}

// Words are the numbers that the machine is given: mm and degrees.
type Words struct {
	X, Y, Z float64
	Turn    Turn // of the turning axes
}

// Words returns the machine words of a pose. With a swivel, or one axis along z, X
// and Y are the tip's place less the tip offset turned by the azimuth, or those
// that a turning bed asks for; Z is the tip's less head.tip's. Without an axis that
// turns the azimuth its word is 0. On linear axes that slant these are the
// reference point's place, which the axes are then asked for.
func (c *Card) Words(p Pose) Words {
	w := Words{X: p.Tip.X, Y: p.Tip.Y, Z: p.Tip.Z}
	if c.Swivel == nil {
		w.Z -= c.Head.Tip[2]
		if len(c.Rotary) == 0 {
			w.X, w.Y = w.X-c.Head.Tip[0], w.Y-c.Head.Tip[1]
		} else if a, _, ok := c.upright(); ok {
			xy := a.plan(&c.Head, r2.Vec{X: w.X, Y: w.Y}, p.Azimuth)
			w.X, w.Y, w.Turn[0] = xy.X, xy.Y, c.SwivelWord(p.Azimuth)
		} else if l, ok := c.leaner(); ok {
			k := c.kinematics()
			return k.Words(p.Tip, l.words(c, &p))
		}
		return c.slanted(w)
	}
	dx, dy := c.tipOffset(p.Azimuth)
	w.X -= dx
	w.Y -= dy
	w.Turn[0] = c.SwivelWord(p.Azimuth)
	return c.slanted(w)
}

// Pose returns the pose that machine words stand for; the inverse of Words.
func (c *Card) Pose(w Words) Pose {
	given := w
	w = c.square(w)
	p := Pose{Tip: r3.Vec{X: w.X, Y: w.Y, Z: w.Z}}
	if c.Swivel == nil {
		p.Tip.Z += c.Head.Tip[2]
		if len(c.Rotary) == 0 {
			p.Tip.X, p.Tip.Y = p.Tip.X+c.Head.Tip[0], p.Tip.Y+c.Head.Tip[1]
		} else if a, sense, ok := c.upright(); ok {
			p.Azimuth = (w.Turn[0] - a.Zero) * sense * math.Pi / 180
			xy := a.tip(&c.Head, r2.Vec{X: w.X, Y: w.Y}, p.Azimuth)
			p.Tip.X, p.Tip.Y = xy.X, xy.Y
		} else if l, ok := c.leaner(); ok {
			k := c.kinematics()
			p.Tip = k.Tip(given)
			l.pose(c, w.Turn, &p)
		}
		return p
	}
	p.Azimuth = (w.Turn[0] - c.Swivel.Zero) * c.Swivel.Sense * math.Pi / 180
	dx, dy := c.tipOffset(p.Azimuth)
	p.Tip.X += dx
	p.Tip.Y += dy
	return p
}

// SwivelWord returns the word, in degrees, of an azimuth in radians. The card has
// an axis that turns the azimuth (AsSwivel).
func (c *Card) SwivelWord(azimuth float64) float64 {
	zero, sense, _ := c.azimuthAxis()
	return zero + sense*azimuth*180/math.Pi
}

// TipOff returns how far the tip stands from the head's turning axis in plan, mm;
// 0 where the head doesn't turn.
func (c *Card) TipOff() float64 {
	off := c.tipFromAxis()
	return math.Hypot(off.X, off.Y)
}

func (c *Card) tipOffset(azimuth float64) (dx, dy float64) {
	o := &c.Swivel.TipOffset
	if o[0] == 0 && o[1] == 0 {
		return 0, 0
	}
	sin, cos := math.Sincos(azimuth)
	return cos*o[0] - sin*o[1], sin*o[0] + cos*o[1]
}

// AzimuthOf returns the azimuth, radians, that a word of the axis that turns it
// stands for; the inverse of SwivelWord.
func (c *Card) AzimuthOf(word float64) float64 {
	zero, sense, _ := c.azimuthAxis()
	return (word - zero) * sense * math.Pi / 180
}

// NozzleAxis returns the unit vector from the tip up along the nozzle when the
// head leans by its tilt alone toward the azimuth (radians). A head that no axis
// turns leans toward azimuth 0.
func (c *Card) NozzleAxis(azimuth float64) r3.Vec {
	switch {
	case c.Head.Tilt == 0:
		return r3.Vec{Z: 1}
	case !c.Swivels():
		azimuth = 0
	}
	st, ct := math.Sincos(c.Head.Tilt * math.Pi / 180)
	sin, cos := math.Sincos(azimuth)
	return r3.Vec{X: st * cos, Y: st * sin, Z: ct}
}

// RimRadius returns the nozzle's radius at its tip, mm: the profile's first
// point.
func (c *Card) RimRadius() float64 {
	if len(c.Head.Profile) == 0 {
		return 0
	}
	return c.Head.Profile[0][1]
}

// FilamentArea returns the cross-section of the filament, mm2.
func (c *Card) FilamentArea() float64 {
	return math.Pi / 4 * c.Filament * c.Filament
}
