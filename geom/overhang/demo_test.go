package overhang

import (
	"context"
	"math/rand/v2"
	"path/filepath"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"conewright/geom/field"
	"conewright/geom/mesh"
	"conewright/geom/warp"
)

// Both ways to find mid-air starts agree on every demo part too, and noise of
// 1e-5 mm changes no count.
func TestBothMethodsAgreeOnDemoParts(t *testing.T) {
	parts, err := filepath.Glob("../../assets/parts/*.stl")
	if err != nil || len(parts) < 8 {
		t.Fatalf("%d demo parts: %v", len(parts), err)
	}
	r := rand.New(rand.NewPCG(31, 32))
	axis := r2.Vec{X: 50, Y: 50}
	fields := []field.Field{{}, field.NewCone(45*deg, false, axis, 0), field.NewCone(45*deg, true, axis, 0), field.NewRamp(30*deg, 1)}
	for i, file := range parts {
		part, _, err := mesh.ReadFile(context.Background(), file, mesh.ReadOptions{Unit: 1})
		if err != nil {
			t.Fatal(err)
		}
		part, _ = part.Mend()
		part = part.Seat(axis.X, axis.Y)
		for k := range fields {
			if (testing.Short() || underRace) && (i%3 != 0 || k != i%len(fields)) {
				continue
			}
			f := &fields[k]
			m, err := warp.Refine(context.Background(), part, f, 0.02)
			if err != nil {
				t.Fatal(err)
			}
			m = fine(m, 5)
			compare(t, i, m, f)
			if a, b := MidairStarts(m, f, nil, layer), MidairStarts(noisy(m, 1e-5, r), f, nil, layer); len(a) != len(b) {
				t.Errorf("%s: noise turns %d starts into %d", file, len(a), len(b))
			}
		}
	}
}
