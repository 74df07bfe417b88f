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

// Bodies drawn into one another are one solid: what lies inside or on another
// body neither hangs nor begins in mid-air.
func TestBodiesCarryEachOther(t *testing.T) {
	stem := box(-4, -4, 0, 4, 4, 13)
	for name, c := range map[string]struct {
		m      *mesh.Mesh
		area   float64 // in level layers, mm2
		starts int
		inCone int // starts in an outward cone of 45 degrees
	}{
		"slab over a stem":      {form.Joined(stem, box(-14, -14, 12, 14, 14, 16)), 784 - 64, 0, 0},
		"slab on a stem":        {form.Joined(stem, box(-14, -14, 13, 14, 14, 16)), 784 - 64, 0, 0},
		"slab above a stem":     {form.Joined(stem, box(-14, -14, 13.5, 14, 14, 16)), 784, 1, 1},
		"slab beside a stem":    {form.Joined(stem, box(6, -14, 12, 20, 14, 16)), 14 * 28, 1, 1},
		"crossed beams":         {form.Joined(box(-20, -3, 0, 20, 3, 6), box(-3, -20, 0, 3, 20, 6)), 0, 0, 0},
		"beam through a post":   {form.Joined(stem, box(-20, -2, 6, 20, 2, 9)), 40*4 - 8*4, 0, 0},
		"ball in a ball's hull": {form.Joined(box(-9, -9, 0, 9, 9, 9), box(-3, -3, 3, 3, 3, 6)), 0, 0, 0},
	} {
		level := field.Field{}
		got := Find(c.m, &level, 45)
		if math.Abs(got.Area-c.area) > 1e-3*c.area+1e-9 {
			t.Errorf("%s: %g mm2, want %g", name, got.Area, c.area)
		}
		if s := MidairStarts(c.m, &level, nil, 0.2); len(s) != c.starts {
			t.Errorf("%s: starts %+v, want %d", name, s, c.starts)
		}
		cone := field.NewCone(math.Pi/4, false, r2.Vec{}, 0)
		fine, err := warp.Refine(context.Background(), c.m, &cone, 0.02)
		if err != nil {
			t.Fatal(err)
		}
		if s := MidairStarts(fine, &cone, nil, 0.283); len(s) != c.inCone {
			t.Errorf("%s: in a cone %+v, want %d", name, s, c.inCone)
		}
	}
}

func BenchmarkOverhangOfOverlappingBodies(b *testing.B) {
	m := form.Joined(box(-40, -40, 20, 40, 40, 30), form.Moved(form.Torus(20, 8, 256, 128), r3.Vec{Z: 18}), box(-4, -4, 0, 4, 4, 25))
	level := field.Field{}
	for b.Loop() {
		Find(m, &level, 45)
	}
}
