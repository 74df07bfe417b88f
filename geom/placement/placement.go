// Package placement says where a bead lies below the tip that lays it.
//
// Plastic leaves along the nozzle's axis. The middle of a bead on its shell and
// the tip that lays it are joined by that axis, which meets the shell's upper
// face at the tip (CONTRACT, Formulas, placement). Lengths are mm, bed
// coordinates; d is the unit vector along the nozzle's axis, away from the tip.
package placement

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Field is what placement asks of a lift field.
type Field interface {
	// Grad returns the gradient of the lift, zero and false where it vanishes or
	// isn't defined.
	Grad(p r2.Vec) (g r2.Vec, ok bool)
}

// Offset returns the tip seen from the middle of a bead on a shell whose lift
// has the gradient g: d (h n_z / 2) / (d . n), h the planar layer height, n the
// shell's upward normal. Where d is near to lying in the shell, or below it, the
// gradient is taken to point the way the nozzle leans: this happens only so near
// to an axis that rounded places don't tell the gradient's direction.
func Offset(g r2.Vec, h float64, d r3.Vec) r3.Vec {
	if d.X == 0 && d.Y == 0 {
		return r3.Vec{Z: h / 2}
	}
	rise := d.X*g.X + d.Y*g.Y + d.Z // (d . n) / n_z
	if rise < LeastRise*d.Z {
		rise = math.Hypot(d.X, d.Y)*math.Hypot(g.X, g.Y) + d.Z
	}
	return r3.Scale(h/2/rise, d)
}

// LeastRise is the least rise of the nozzle's axis over the shell, as a share of
// its rise over a level, at which Offset believes the gradient.
const LeastRise = 0.5

// Lays reports that a nozzle along d can lay a bead on a shell whose lift has the
// gradient g: it doesn't come near to lying in the shell.
func Lays(g r2.Vec, d r3.Vec) bool { return d.X*g.X+d.Y*g.Y+d.Z >= LeastRise*d.Z }

// Tip returns the tip that lays a bead with the given middle.
func Tip(f Field, h float64, middle, d r3.Vec) r3.Vec {
	g, _ := f.Grad(r2.Vec{X: middle.X, Y: middle.Y})
	return r3.Add(middle, Offset(g, h, d))
}

// Middle returns the middle of the bead that a tip lays: Tip backwards. The
// gradient is that at the middle, so the place is found in rounds; away from an
// axis the first one is exact to rounding.
func Middle(f Field, h float64, tip, d r3.Vec) r3.Vec {
	if d.X == 0 && d.Y == 0 {
		tip.Z -= h / 2
		return tip
	}
	g, _ := f.Grad(r2.Vec{X: tip.X, Y: tip.Y})
	// A square nozzle: the shell falls the way that the nozzle leans.
	lean, slope := math.Hypot(d.X, d.Y), math.Hypot(g.X, g.Y)
	offset := r3.Scale(h/2/(lean*slope+d.Z), d)
	for range rounds {
		g, ok := f.Grad(r2.Vec{X: tip.X - offset.X, Y: tip.Y - offset.Y})
		if !ok && slope > 0 {
			break // on the axis itself
		}
		next := Offset(g, h, d)
		change := math.Abs(next.Z - offset.Z)
		offset = next
		if change <= settled*h {
			break
		}
	}
	return r3.Sub(tip, offset)
}

const (
	// rounds bounds the search for a middle; each adds one to three digits.
	rounds = 20
	// settled is the change, as a share of the layer height, below which a middle
	// is found.
	settled = 1e-7
)
