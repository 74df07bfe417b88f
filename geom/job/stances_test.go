package job

import (
	"context"
	"math"
	"os"
	"path/filepath"
	"testing"

	"conewright/geom/form"
	"conewright/geom/mesh"

	"gonum.org/v1/gonum/spatial/r3"
)

// A table whose top is up and that stands on one leg at each corner prints best
// with its top on the bed, where it needs nothing at all.
func TestATableIsOfferedLaidOnItsTop(t *testing.T) {
	var bodies []*mesh.Mesh
	for _, x := range []float64{0, 36} {
		for _, y := range []float64{0, 36} {
			bodies = append(bodies, form.Moved(form.Box(r3.Vec{}, r3.Vec{X: 4, Y: 4, Z: 20.5}), r3.Vec{X: x, Y: y}))
		}
	}
	bodies = append(bodies, form.Moved(form.Box(r3.Vec{}, r3.Vec{X: 40, Y: 40, Z: 4}), r3.Vec{Z: 20}))
	dir := t.TempDir()
	file, err := os.Create(filepath.Join(dir, "table.stl"))
	if err != nil {
		t.Fatal(err)
	}
	if err := mesh.WriteSTL(file, form.Joined(bodies...)); err != nil {
		t.Fatal(err)
	}
	if err := file.Close(); err != nil {
		t.Fatal(err)
	}
	s := Defaults()
	s.Part.File = filepath.Join(dir, "table.stl")
	s.Part.Seat = &[2]float64{125, 105}
	s.Machine.Ref = "straight" // whose shallow cones can't carry the top
	if err := s.resolveCard(); err != nil {
		t.Fatal(err)
	}
	s.Zones = &Zone{Name: "all", Field: &Field{Kind: KindLevel}}
	m, err := ReadModel(context.Background(), &s)
	if err != nil {
		t.Fatal(err)
	}
	found, err := Suggestions(context.Background(), &s, m, nil)
	if err != nil {
		t.Fatal(err)
	}
	if found[0].Setup.Part.Turn != s.Part.Turn {
		t.Errorf("the first plan turns the part: %v", found[0].Setup.Part.Turn)
	}
	for _, p := range found[1:] {
		turn := p.Setup.Part.Turn
		if turn == s.Part.Turn {
			continue
		}
		if over := math.Abs(math.Abs(turn[0])-180) + math.Abs(turn[1]); over > 1e-6 {
			t.Errorf("turned by %v, want it upside down", turn)
		}
		if f := p.Plan.Figures; f.MidairStarts > 0 || f.OverhangArea > 1 {
			t.Errorf("upside down it leaves %+v", f)
		}
		return
	}
	t.Errorf("no plan with the table on its top among %d: the first leaves %+v", len(found), found[0].Plan.Figures)
}
