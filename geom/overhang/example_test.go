package overhang_test

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/field"
	"conewright/geom/mesh"
	"conewright/geom/overhang"
)

// A tile that hangs 10 mm over the bed, printed level.
func ExampleFind() {
	tile := &mesh.Mesh{
		Vertices: []r3.Vec{{Z: 10}, {X: 4, Z: 10}, {Y: 4, Z: 10}, {X: 4, Y: 4, Z: 15}},
		Facets:   [][3]int32{{0, 2, 1}, {0, 1, 3}, {1, 2, 3}, {2, 0, 3}},
	}
	level := field.Field{}
	o := overhang.Find(tile, &level, 45)
	fmt.Printf("%.1f mm2 unsupported\n", o.Area)
	for _, s := range overhang.MidairStarts(tile, &level, nil, 0.2) {
		fmt.Printf("begins in mid-air at z = %g, rises %g mm\n", s.At.Z, s.Rise)
	}
	cone := field.NewCone(45*math.Pi/180, false, r2.Vec{X: 1, Y: 1}, 0)
	fmt.Printf("%.1f mm2 in a cone that carries level undersides\n", overhang.Find(tile, &cone, 45).Area)
	// Output:
	// 8.0 mm2 unsupported
	// begins in mid-air at z = 10, rises 5 mm
	// 0.0 mm2 in a cone that carries level undersides
}
