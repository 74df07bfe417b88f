package contour_test

import (
	"math"
	"testing"

	"conewright/geom/form"
	"conewright/geom/mesh"
	"conewright/render/contour"
	"conewright/render/internal/shape"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

func heights(m *mesh.Mesh) []float64 {
	values := make([]float64, len(m.Vertices))
	for i, v := range m.Vertices {
		values[i] = v.Z
	}
	return values
}

func TestLevelLinesOfKnownSolids(t *testing.T) {
	box := form.Box(r3.Vec{}, r3.Vec{X: 10, Y: 20, Z: 30})
	two := form.Joined(box, form.Box(r3.Vec{X: 50}, r3.Vec{X: 60, Y: 20, Z: 15}))
	open := &mesh.Mesh{Vertices: box.Vertices, Facets: box.Facets[4:6]} // its front
	tests := []struct {
		name   string
		mesh   *mesh.Mesh
		at     float64
		count  int
		length float64
		closed bool
	}{
		{"a box", box, 12, 1, 60, true},
		{"two boxes", two, 12, 2, 60, true},
		{"over the lower one", two, 20, 1, 60, true},
		{"exactly at the bottom nothing lies below", box, 0, 0, 0, true},
		{"exactly at the top the walls end", box, 30, 1, 60, true},
		{"over all", box, 31, 0, 0, true},
		{"one wall", open, 12, 1, 10, false},
	}
	for _, tt := range tests {
		lines := contour.Lines(tt.mesh, heights(tt.mesh), []float64{tt.at})
		if len(lines) != tt.count {
			t.Errorf("%s: %d lines, want %d", tt.name, len(lines), tt.count)
			continue
		}
		for _, l := range lines {
			sum := 0.0
			for i := 1; i < len(l.Points); i++ {
				sum += r3.Norm(r3.Sub(l.Points[i], l.Points[i-1]))
			}
			if math.Abs(sum-tt.length) > 1e-9 || l.Closed() != tt.closed || len(l.Facets) != len(l.Points)-1 {
				t.Errorf("%s: %v mm, closed %v, %d facets to %d points", tt.name, sum, l.Closed(), len(l.Facets), len(l.Points))
			}
		}
	}
}

func TestLevelsAreFollowedTogetherAsEachAlone(t *testing.T) {
	m := shape.Bollard(r2.Vec{X: 3, Y: 4}, 31)
	levels := []float64{1, 3, 10, 12.5, 33, 36, 44}
	together := contour.Lines(m, heights(m), levels)
	var alone int
	for i, level := range levels {
		for _, want := range contour.Lines(m, heights(m), []float64{level}) {
			got := together[alone]
			if got.Level != i || len(got.Points) != len(want.Points) || got.Points[0] != want.Points[0] {
				t.Fatalf("level %v: another line together than alone", level)
			}
			for _, p := range got.Points {
				if math.Abs(p.Z-level) > 1e-9 {
					t.Fatalf("a point of level %v at height %v", level, p.Z)
				}
			}
			alone++
		}
	}
	if alone != len(together) {
		t.Errorf("%d lines together, %d alone", len(together), alone)
	}
}
