package pictures

import (
	"conewright/geom/machine"
	"conewright/render"

	"gonum.org/v1/gonum/spatial/r3"
)

// bedOf returns a machine's bed to draw: where its tip can stand. Of linear axes
// that slant that is the box about it.
func bedOf(card *machine.Card) *render.Bed {
	if card == nil {
		return nil
	}
	t := card.PartTravel()
	b := &render.Bed{Travel: r3.Box{
		Min: r3.Vec{X: t.X[0], Y: t.Y[0], Z: t.Z[0]},
		Max: r3.Vec{X: t.X[1], Y: t.Y[1], Z: t.Z[1]},
	}}
	for _, o := range card.Obstacles {
		b.Obstacles = append(b.Obstacles, r3.Box{
			Min: r3.Vec{X: o.Min[0], Y: o.Min[1], Z: o.Min[2]},
			Max: r3.Vec{X: o.Max[0], Y: o.Max[1], Z: o.Max[2]},
		})
	}
	return b
}
