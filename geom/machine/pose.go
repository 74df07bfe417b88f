package machine

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Pose is where the tip stands (bed coordinates, mm) and which way the head
// leans (azimuth, radians, unwrapped: full turns count).
type Pose struct {
	Tip     r3.Vec
	Azimuth float64
}

// Words are the numbers that the machine is given: mm and degrees.
type Words struct {
	X, Y, Z float64
	Turn    Turn // of the turning axes
}

// Words returns the machine words of a pose. X and Y are the tip's place less
// the tip offset turned by the azimuth; Z is the tip's. Without a swivel the
// swivel word is 0.
func (c *Card) Words(p Pose) Words {
	w := Words{X: p.Tip.X, Y: p.Tip.Y, Z: p.Tip.Z}
	if c.Swivel == nil {
		return w
	}
	dx, dy := c.tipOffset(p.Azimuth)
	w.X -= dx
	w.Y -= dy
	w.Turn[0] = c.SwivelWord(p.Azimuth)
	return w
}

// Pose returns the pose that machine words stand for; the inverse of Words.
func (c *Card) Pose(w Words) Pose {
	p := Pose{Tip: r3.Vec{X: w.X, Y: w.Y, Z: w.Z}}
	if c.Swivel == nil {
		return p
	}
	p.Azimuth = (w.Turn[0] - c.Swivel.Zero) * c.Swivel.Sense * math.Pi / 180
	dx, dy := c.tipOffset(p.Azimuth)
	p.Tip.X += dx
	p.Tip.Y += dy
	return p
}

// SwivelWord returns the word, in degrees, of an azimuth in radians.
func (c *Card) SwivelWord(azimuth float64) float64 {
	return c.Swivel.Zero + c.Swivel.Sense*azimuth*180/math.Pi
}

// TipOff returns how far the tip stands from the swivel axis in plan, mm.
func (c *Card) TipOff() float64 {
	if c.Swivel == nil {
		return 0
	}
	return math.Hypot(c.Swivel.TipOffset[0], c.Swivel.TipOffset[1])
}

func (c *Card) tipOffset(azimuth float64) (dx, dy float64) {
	o := &c.Swivel.TipOffset
	if o[0] == 0 && o[1] == 0 {
		return 0, 0
	}
	sin, cos := math.Sincos(azimuth)
	return cos*o[0] - sin*o[1], sin*o[0] + cos*o[1]
}

// NozzleAxis returns the unit vector from the tip up along the nozzle when the
// head leans toward the azimuth (radians).
func (c *Card) NozzleAxis(azimuth float64) r3.Vec {
	if c.Swivel == nil || c.Head.Tilt == 0 {
		return r3.Vec{Z: 1}
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
