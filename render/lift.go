package render

import (
	"math"

	"conewright/geom/field"
	"conewright/geom/mesh"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// lift returns how far the drawing raises the point at p.
func (z *zoneModel) lift(p r2.Vec) float64 {
	if z.warp == 0 {
		return 0
	}
	return z.warp*z.field.At(p) + z.shift
}

// raised returns where the drawing shows a place of the part, by the last zone
// whose height it is at.
func (m *model) raised(p r3.Vec) r3.Vec {
	for i := len(m.zones) - 1; i >= 0; i-- {
		z := m.zones[i]
		if z.warp > 0 && (i == 0 || p.Z >= z.bottom-atHeight && p.Z <= z.top+atHeight) {
			return z.raised(p)
		}
	}
	return p
}

// atHeight is how far beside a zone's heights a place still belongs to it, mm.
const atHeight = 0.01

// shifts returns what is added to each zone's share of the lift: so much that
// each zone just touches the one before, and that the lowest point stands on
// the bed. A field's own height means nothing: a ramp counts from the bed's
// corner.
func shifts(zones []Zone, warp float64) []float64 {
	shifts := make([]float64, len(zones))
	lowest := math.Inf(1)
	for i, z := range zones {
		if i > 0 {
			shifts[i] = shifts[i-1] + warp*dip(z, zones[i-1].Field)
		}
		lowest = math.Min(lowest, shifts[i]+z.lowest(warp))
	}
	for i := range shifts {
		shifts[i] -= lowest
	}
	return shifts
}

// highest returns the greatest z of the zones drawn warped.
func highest(zones []Zone, warp float64) float64 {
	top := math.Inf(-1)
	shift := shifts(zones, warp)
	for i, z := range zones {
		for _, v := range z.Mesh.Vertices {
			top = math.Max(top, v.Z+warp*z.Field.At(r2.Vec{X: v.X, Y: v.Y})+shift[i])
		}
	}
	return top
}

// lowest returns the least height of a zone that is warped so far. A field that
// isn't concave may have it inside a facet: an outward cone under its apex.
func (z *Zone) lowest(warp float64) float64 {
	lift := func(p r2.Vec) float64 { return warp * z.Field.At(p) }
	bends := z.Field.Curvature()
	if bends != field.Linear && bends != field.Concave {
		return rising{1, lift, warp * z.Field.Slope()}.least(z.Mesh, func(int) bool { return true })
	}
	low := math.Inf(1)
	for _, v := range z.Mesh.Vertices {
		low = math.Min(low, v.Z+lift(r2.Vec{X: v.X, Y: v.Y}))
	}
	return low
}

// dip returns how far z's base would dip into the zone under it; negative where
// it would hang over it, 0 where it has no base.
func dip(z Zone, under field.Field) float64 {
	over := rising{0, func(p r2.Vec) float64 { return z.Field.At(p) - under.At(p) }, z.Field.Slope() + under.Slope()}
	most := -over.least(z.Mesh, func(i int) bool { return z.Mesh.Origin(i) == mesh.CapBase })
	if math.IsInf(most, -1) {
		return 0
	}
	return most
}
