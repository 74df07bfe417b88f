package warp

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/field"
	"conewright/geom/form"
)

// A facet with b vertices on its border and n inside has b - 2 + 2 n pieces, so
// beside the cuts of edges, which are the fewest (see divide), only vertices
// inside cost facets. A sharp cone needs none but the axis.
func TestASharpConeNeedsNoInnerVerticesButTheAxis(t *testing.T) {
	for partName, m := range parts() {
		for fieldName, f := range fields() {
			axis, _, ok := f.Apex()
			if !ok {
				continue
			}
			for _, tol := range []float64{0.3, 0.02, 0.001} {
				r := &refinement{mesh: m, field: &f, tol: tol, limit: MaxFacets}
				refined, err := r.run(context.Background())
				if err != nil {
					t.Fatal(err)
				}
				for _, v := range refined.Vertices[r.firstInner():] {
					if plan(v) != axis {
						t.Errorf("%s, %s, tolerance %v: needless vertex at %v", partName, fieldName, tol, v)
					}
				}
			}
		}
	}
}

// The fewest triangles that interpolate a convex function within tol approach
// the integral of sqrt(det H) / (3 sqrt 3 / 2 tol), H the second derivatives:
// on a paraboloid an equilateral triangle of circumradius R is off by R^2 / 2
// (derived here; the affine argument is Nadler's, named from memory). For a
// cone det H = s^2 round^2 / (r^2 + round^2)^2.
func TestARoundedConeTakesLessThanTwiceTheFewestFacets(t *testing.T) {
	const half, tol = 60.0, 0.02
	const round = 15.0
	f := field.NewCone(45*deg, false, r2.Vec{}, round)
	m := form.Box(r3.Vec{X: -half, Y: -half}, r3.Vec{X: half, Y: half, Z: 1})
	refined, err := Refine(context.Background(), m, &f, tol)
	if err != nil {
		t.Fatal(err)
	}
	integral, step := 0.0, half/500
	for x := step / 2; x < half; x += step {
		for y := step / 2; y < half; y += step {
			integral += 4 * step * step * f.Slope() * round / (x*x + y*y + round*round)
		}
	}
	onTop := 0
	for i := range refined.Facets {
		if a, b, c := refined.Corners(i); a.Z == 1 && b.Z == 1 && c.Z == 1 {
			onTop++
		}
	}
	fewest := integral / (1.5 * math.Sqrt(3) * tol)
	if float64(onTop) > 2*fewest || float64(onTop) < fewest {
		t.Errorf("%d facets on top, at the least about %.0f are needed", onTop, fewest)
	}
}
