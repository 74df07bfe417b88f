package job

import (
	"context"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// A part that was sunk into the bed in the slicer fits, but would begin in the air.
func TestTellsOfASunkPart(t *testing.T) {
	p := prepare(t, mushroomJob(t, `{"name":"z","field":{"kind":"level"}}`))
	n := &p.regions[0].Numbers
	for _, sunk := range []float64{0, 2 * n.LayerHeight} {
		m := changed(p.regions[0].Warped, false, func(v r3.Vec) r3.Vec { return r3.Vec{X: v.X, Y: v.Y, Z: v.Z - sunk} })
		fit := fitFile(t, p, plain.slice(m, n.LayerHeight, n.LineWidth, r2.Vec{X: 3}).text)
		told := false
		for _, f := range fit.Findings {
			told = told || f.Code == "sunk" && f.Rank == Warn
		}
		if !fit.Fits || told != (sunk > 0) {
			t.Errorf("sunk by %g mm: fits %t, told %t, %+v", sunk, fit.Fits, told, fit.Findings)
		}
	}
	if _, err := FitBrought(context.Background(), p.s, "z", t.TempDir(), FitOptions{Regions: p.regions}); err == nil {
		t.Error("a folder was taken for a file")
	}
}
