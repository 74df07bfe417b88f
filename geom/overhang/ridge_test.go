package overhang

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/field"
	"conewright/geom/form"
	"conewright/geom/mesh"
	"conewright/geom/warp"
)

// A shelf on a wall, a T seen from its end: a ridge over the wall carries the
// shelf all along, which level layers don't.
func TestARidgeCarriesAShelfOnAWall(t *testing.T) {
	wall := form.Box(r3.Vec{X: -2, Y: -30}, r3.Vec{X: 2, Y: 30, Z: 30})
	shelf := form.Box(r3.Vec{X: -15, Y: -30, Z: 30}, r3.Vec{X: 15, Y: 30, Z: 34})
	whole := &mesh.Mesh{Vertices: append([]r3.Vec(nil), wall.Vertices...), Facets: append([][3]int32(nil), wall.Facets...)}
	for _, f := range shelf.Facets {
		n := int32(len(wall.Vertices))
		whole.Facets = append(whole.Facets, [3]int32{f[0] + n, f[1] + n, f[2] + n})
	}
	whole.Vertices = append(whole.Vertices, shelf.Vertices...)
	ridge := field.NewRidge(45*math.Pi/180, false, []r2.Vec{{Y: -30}, {Y: 30}}, 0)
	refined, err := warp.Refine(context.Background(), whole, &ridge, 0.02)
	if err != nil {
		t.Fatal(err)
	}
	if got := Find(whole, &ridge, 45).Area; got > 0.5 {
		t.Errorf("%v mm2 unsupported in a ridge", got)
	}
	if starts := MidairStarts(refined, &ridge, nil, 0.28); len(starts) > 0 {
		t.Errorf("mid-air starts in a ridge: %v", starts)
	}
	level := field.Field{}
	if got := Find(whole, &level, 45).Area; math.Abs(got-26*60) > 60 {
		t.Errorf("%v mm2 unsupported in level layers, 1560 are", got)
	}
}
