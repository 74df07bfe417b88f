package pictures

import (
	"context"
	"math"
	"os"
	"path/filepath"
	"testing"

	"conewright/assets"
	"conewright/geom/job"

	"gonum.org/v1/gonum/spatial/r3"
)

func area(triangles [][3]r3.Vec) (sum float64) {
	for _, t := range triangles {
		sum += r3.Norm(r3.Cross(r3.Sub(t[1], t[0]), r3.Sub(t[2], t[0]))) / 2
	}
	return sum
}

// TestBridgesAreDrawnApart takes the gantry, whose beam bridges two posts in
// level layers.
func TestBridgesAreDrawnApart(t *testing.T) {
	setup := gantry(t)
	model, err := job.ReadModel(context.Background(), setup)
	if err != nil {
		t.Fatal(err)
	}
	regions, err := job.Divide(context.Background(), setup, model)
	if err != nil {
		t.Fatal(err)
	}
	g := regions[0]
	if err := g.Warp(context.Background(), setup.Tolerance); err != nil {
		t.Fatal(err)
	}
	g.Judged, err = job.Judge(context.Background(), g, setup.Overhang, job.JudgeLevel(g, setup.Overhang))
	if err != nil {
		t.Fatal(err)
	}
	all, none := Overhang(regions)
	if len(none) > 0 || math.Abs(area(all)-g.Judged.Overhang.Area) > 0.01 {
		t.Errorf("untold apart, %.1f mm2 are unsupported and %.1f bridged, of %.1f", area(all), area(none), g.Judged.Overhang.Area)
	}
	if err := g.Judged.FindPatches(context.Background(), g); err != nil {
		t.Fatal(err)
	}
	free, bridged := Overhang(regions)
	if sum := area(free) + area(bridged); math.Abs(sum-g.Judged.Overhang.Area) > 0.01*sum || area(bridged) < 0.9*sum {
		t.Errorf("%.1f mm2 hang free and %.1f are bridged, of %.1f", area(free), area(bridged), g.Judged.Overhang.Area)
	}
}

func gantry(t *testing.T) *job.Setup {
	t.Helper()
	part, err := assets.Files.ReadFile("parts/gantry.stl")
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "gantry.stl")
	if err := os.WriteFile(file, part, 0o644); err != nil {
		t.Fatal(err)
	}
	setup, err := job.New(file, "swivel-45")
	if err != nil {
		t.Fatal(err)
	}
	return setup // a new job is level
}
