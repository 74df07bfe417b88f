package zone_test

import (
	"context"
	"fmt"

	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/mesh"
	"conewright/geom/zone"
)

// A tetrahedron is cut level at half its height; the upper zone rests on the
// lower one there.
func ExampleSplit() {
	part := &mesh.Mesh{
		Vertices: []r3.Vec{{}, {X: 8}, {Y: 8}, {Z: 8}},
		Facets:   [][3]int32{{0, 2, 1}, {0, 1, 3}, {1, 2, 3}, {2, 0, 3}},
	}
	leaves, err := zone.Split(context.Background(), part, &zone.Node{
		Cut:   &zone.Plane{Point: r3.Vec{Z: 4}, Normal: r3.Vec{Z: 1}},
		Under: &zone.Node{Name: "foot"},
		Over:  &zone.Node{Name: "tip"},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, l := range leaves {
		base := zone.NewBase(l.Mesh)
		b, _, _ := base.Height(1, 1, 100)
		fmt.Printf("%s: %d facets on a base at z = %g\n", l.Name, len(l.Mesh.Facets), b)
	}
	// Output:
	// foot: 8 facets on a base at z = 0
	// tip: 4 facets on a base at z = 4
}
