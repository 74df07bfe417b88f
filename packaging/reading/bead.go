package reading

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// nearCrease is how close to an axis or a crease, in layer heights, the shell's
// side is read from the nozzle's lean: there the place alone can't tell it.
const nearCrease = 1.0

// Middle is the middle of the bead that is laid at a pose: the contract's
// placement backwards, where the tip is M + d (h n_z / 2) / (d . n). The field's
// normal n is that at M, which is found by repeating.
func Middle(p Pose, z *Zone) (middle, normal r3.Vec) {
	h := *z.LayerHeight
	middle = p.Tip
	for range 8 {
		normal = z.Field.Normal(middle.X, middle.Y)
		if z.Field.Crease(middle.X, middle.Y) < nearCrease*h {
			normal = leaning(normal, p.Back)
		}
		lean := r3.Dot(p.Back, normal)
		if lean < 0.1 { // beyond 84 degrees off square nothing is laid
			lean = 0.1
		}
		next := r3.Sub(p.Tip, r3.Scale(h*normal.Z/2/lean, p.Back))
		if r3.Norm(r3.Sub(next, middle)) < 1e-9 {
			break
		}
		middle = next
	}
	return middle, normal
}

// leaning turns a shell's normal about z to the side to which the nozzle leans;
// an upright nozzle tells nothing.
func leaning(normal, back r3.Vec) r3.Vec {
	plan := math.Hypot(back.X, back.Y)
	if plan < 1e-3 {
		return normal
	}
	k := math.Hypot(normal.X, normal.Y) / plan
	return r3.Vec{X: k * back.X, Y: k * back.Y, Z: normal.Z}
}
