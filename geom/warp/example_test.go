package warp_test

import (
	"context"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/field"
	"conewright/geom/mesh"
	"conewright/geom/warp"
)

func ExampleWarp() {
	// A tetrahedron beside the axis of a 45-degree cone.
	part := &mesh.Mesh{
		Vertices: []r3.Vec{{X: 10, Y: -10}, {X: 20}, {X: 10, Y: 10}, {X: 10, Z: 10}},
		Facets:   [][3]int32{{0, 2, 1}, {0, 1, 3}, {1, 2, 3}, {2, 0, 3}},
	}
	lift := field.NewCone(math.Pi/4, false, r2.Vec{}, 0)
	warped, drop, err := warp.Warp(context.Background(), part, &lift, 0.5)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d facets became %d, lowered by %.2f\n", len(part.Facets), len(warped.Facets), drop)
	// Output:
	// 4 facets became 16, lowered by 10.39
}
