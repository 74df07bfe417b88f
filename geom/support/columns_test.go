package support_test

import (
	"context"
	"math"
	"testing"

	"conewright/geom/field"
	"conewright/geom/form"
	"conewright/geom/mesh"
	"conewright/geom/overhang"
	"conewright/geom/support"
	"conewright/geom/warp"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

const height = 0.2

// table is a plate 40 x 30 x 3 on a middle column 10 x 10 x 15, over a low step at one
// side of it.
func table() *mesh.Mesh {
	return form.Joined(
		form.Box(r3.Vec{X: 15, Y: 10}, r3.Vec{X: 25, Y: 20, Z: 16}),
		form.Box(r3.Vec{Y: 10}, r3.Vec{X: 15.5, Y: 20, Z: 5}),
		form.Box(r3.Vec{Z: 15}, r3.Vec{X: 40, Y: 30, Z: 18}),
	)
}

func hold(t *testing.T, m *mesh.Mesh, f field.Field, starts bool) (*support.Columns, overhang.Unsupported) {
	t.Helper()
	refined, err := warp.Refine(context.Background(), m, &f, 0.02)
	if err != nil {
		t.Fatal(err)
	}
	lifted, drop := warp.Lift(refined, &f)
	over := overhang.Find(m, &f, 45)
	p := &support.Places{OnlyStarts: starts, Starts: overhang.MidairStarts(refined, &f, nil, height)}
	for _, i := range over.Facets {
		a, b, c := m.Corners(int(i))
		p.Pieces = append(p.Pieces, []r3.Vec{a, b, c})
	}
	for _, piece := range over.Pieces {
		p.Pieces = append(p.Pieces, piece.Corners)
	}
	c, err := support.Hold(context.Background(), &support.Shells{
		Solid: lifted, Field: &f, Drop: drop, Height: height, LineWidth: 0.45,
		Bed: r2.Box{Min: r2.Vec{X: -50, Y: -50}, Max: r2.Vec{X: 90, Y: 90}},
	}, p)
	if err != nil {
		t.Fatal(err)
	}
	return c, over
}

// Columns stand from the bed, or from the step, to a free layer under the plate, and
// keep clear of the column in the middle. Areas by hand.
func TestColumnsReachFromBelowToTheOverhang(t *testing.T) {
	c, over := hold(t, table(), field.Field{}, false)
	if math.Abs(over.Area-1100) > 1 || c.Unheld > 0.01*over.Area || len(c.UnheldStarts) > 0 {
		t.Fatalf("%.1f mm2 lean out, %.2f of it and %d starts aren't held", over.Area, c.Unheld, len(c.UnheldStarts))
	}
	first, last := c.Layers[0], c.Layers[len(c.Layers)-1]
	// The plate's underside lies at 15: layer 75 is its first, 74 is free.
	if first.Index > 0 || last.Index != 73 {
		t.Errorf("columns from layer %d to %d, want 0 to 73", first.Index, last.Index)
	}
	for _, l := range c.Layers {
		if l.Index < 0 {
			continue
		}
		step := l.Index < 25
		for _, q := range []struct {
			at   r2.Vec
			want bool
		}{{r2.Vec{X: 5, Y: 5}, true}, {r2.Vec{X: 35, Y: 25}, true}, {r2.Vec{X: 5, Y: 15}, !step}, {r2.Vec{X: 20, Y: 15}, false}, {r2.Vec{X: 25.3, Y: 15}, false}, {r2.Vec{X: 26.5, Y: 15}, true}, {r2.Vec{X: 43, Y: 15}, false}} {
			if l.Centre.Contains(q.at) != q.want {
				t.Fatalf("layer %d: a column at %v: %v", l.Index, q.at, !q.want)
			}
		}
		if top := len(l.Top) > 0; top != (l.Index == 73) {
			t.Errorf("layer %d: columns end there: %v", l.Index, top)
		}
	}
}

// With starts alone, the end of a hook gets a column; the arm that it hangs from, which
// leans out too, gets none.
func TestStartsAloneGetColumns(t *testing.T) {
	hook := form.Joined(
		form.Box(r3.Vec{}, r3.Vec{X: 6, Y: 10, Z: 30}),
		form.Box(r3.Vec{X: 5, Z: 27}, r3.Vec{X: 30, Y: 10, Z: 30}),
		form.Box(r3.Vec{X: 24, Z: 15}, r3.Vec{X: 30, Y: 10, Z: 28}),
	)
	c, over := hold(t, hook, field.Field{}, true)
	if math.Abs(over.Area-360+60) > 70 || c.Unheld < 100 || len(c.UnheldStarts) > 0 {
		t.Fatalf("%.1f mm2 lean out, %.1f not held, %d starts not held", over.Area, c.Unheld, len(c.UnheldStarts))
	}
	for _, l := range c.Layers {
		if l.Centre.Contains(r2.Vec{X: 15, Y: 5}) || l.Index >= 0 && !l.Centre.Contains(r2.Vec{X: 27, Y: 5}) {
			t.Fatalf("layer %d: columns elsewhere than under the hook's end", l.Index)
		}
	}
}

// A column on the part has a foot a line narrower all round, a column on the bed
// none; neither has the column's top.
func TestAColumnOnThePartHasANarrowFoot(t *testing.T) {
	c, _ := hold(t, form.Joined(
		form.Box(r3.Vec{}, r3.Vec{X: 24, Y: 10, Z: 4}),
		form.Box(r3.Vec{}, r3.Vec{X: 6, Y: 10, Z: 30}),
		form.Box(r3.Vec{X: 5, Z: 27}, r3.Vec{X: 20, Y: 10, Z: 30}),
	), field.Field{}, false)
	area := map[int]float64{}
	for _, l := range c.Layers {
		area[l.Index] = l.Centre.Area()
		if l.Index < 20 && len(l.Centre) > 0 && l.Centre.Contains(r2.Vec{X: 12, Y: 5}) {
			t.Errorf("layer %d: a column in the part", l.Index)
		}
	}
	// The foot of the part is 4 mm high: layer 20 is the first over it.
	if area[22] == 0 || area[20] >= area[22]-5 || area[21] >= area[22]-5 || area[22] != area[60] {
		t.Errorf("areas from the foot up: %.2f %.2f %.2f, halfway %.2f", area[20], area[21], area[22], area[60])
	}
}

// Columns hold in tilted shells as they do in level ones.
func TestColumnsHoldInConesAndRamps(t *testing.T) {
	for name, f := range map[string]field.Field{
		"outward": field.NewCone(math.Pi/6, false, r2.Vec{X: 20, Y: 15}, 0),
		"inward":  field.NewCone(math.Pi/6, true, r2.Vec{X: 20, Y: 15}, 0),
		"ramp":    field.NewRamp(math.Pi/4, 0.3),
	} {
		c, over := hold(t, table(), f, false)
		if c.Unheld > max(0.01*over.Area, 0.25) || len(c.UnheldStarts) > 0 {
			t.Errorf("%s: %.1f mm2 lean out, %.2f of it and starts %v aren't held", name, over.Area, c.Unheld, c.UnheldStarts)
		}
	}
}
