package render

import (
	"math"

	"conewright/render/hidden"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// axisOver is how far an axis stands out over what it belongs to, as a share
// of the part's radius.
const axisOver = 0.22

// axisPaths returns the axis of each cone, through its zone and a little
// beyond; zones on one axis share a line.
func axisPaths(m *model) []hidden.Path {
	var paths []hidden.Path
	for _, a := range axes(m) {
		over := axisOver * m.radius
		paths = append(paths, hidden.Path{Points: []r3.Vec{
			{X: a.at.X, Y: a.at.Y, Z: a.top + over}, {X: a.at.X, Y: a.at.Y, Z: a.bottom - over},
		}})
	}
	return paths
}

// axis is the axis of one or more zones.
type axis struct {
	zone        int // the first that has it
	at          r2.Vec
	bottom, top float64
}

// sameAxis is the distance within which two axes are drawn as one, mm.
const sameAxis = 0.01

// sharesAxis reports whether a zone's axis is the given one.
func (z *zoneModel) sharesAxis(a axis) bool {
	at, ok := z.field.Axis()
	return ok && r2.Norm(r2.Sub(at, a.at)) < sameAxis
}

func axes(m *model) []axis {
	var found []axis
	for i, z := range m.zones {
		at, ok := z.field.Axis()
		if !ok {
			continue
		}
		top, bottom := z.top+z.lift(at), z.bottom
		known := false
		for k := range found {
			if r2.Norm(r2.Sub(found[k].at, at)) < sameAxis {
				known = true
				found[k].bottom, found[k].top = math.Min(found[k].bottom, bottom), math.Max(found[k].top, top)
			}
		}
		if !known {
			found = append(found, axis{i, at, bottom, top})
		}
	}
	return found
}
