package job

import (
	"context"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// What is carried along with a dragged part is what is read and cut anew at its new
// place.
func TestWhatIsCarriedIsWhatIsReadAnew(t *testing.T) {
	s, err := severalJob(t, func(text string) string { return text })
	if err != nil {
		t.Fatal(err)
	}
	model, err := ReadModel(context.Background(), s)
	if err != nil {
		t.Fatal(err)
	}
	regions, err := warped(context.Background(), s, model)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range regions {
		r.Judged, err = Judge(context.Background(), r, s.Overhang, JudgeLevel(r, s.Overhang))
		if err != nil {
			t.Fatal(err)
		}
	}
	to := s.Clone()
	to.ChangePart(1, func(p *Setup) {
		p.TurnPart(model.Parts()[1].Mesh, 30)
		p.MovePart([2]float64{170, 90})
	})
	got, moved := s.Carried(to, model, regions)
	want, err := ReadModel(context.Background(), to)
	if err != nil {
		t.Fatal(err)
	}
	for i, v := range want.Mesh.Vertices {
		if d := r3.Norm(r3.Sub(v, got.Mesh.Vertices[i])); d > 1e-9 {
			t.Fatalf("vertex %d is %g mm off", i, d)
		}
	}
	anew, err := warped(context.Background(), to, want)
	if err != nil {
		t.Fatal(err)
	}
	for i, r := range anew {
		a, b := r.Mesh.Bounds(), moved[i].Mesh.Bounds()
		if d := max(r3.Norm(r3.Sub(a.Min, b.Min)), r3.Norm(r3.Sub(a.Max, b.Max))); d > 1e-9 {
			t.Errorf("zone %s is %g mm off", r.Name, d)
		}
		j, err := Judge(context.Background(), r, s.Overhang, JudgeLevel(r, s.Overhang))
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(j.Overhang.Area-moved[i].Judged.Overhang.Area) > 1e-6 || len(j.Starts) != len(moved[i].Judged.Starts) {
			t.Errorf("zone %s: %g mm2 and %d starts, carried %g and %d", r.Name, j.Overhang.Area, len(j.Starts),
				moved[i].Judged.Overhang.Area, len(moved[i].Judged.Starts))
		}
	}
	if same, _ := s.Carried(s.Clone(), model, regions); same != model {
		t.Error("a model that stays is copied")
	}
	laid := s.Clone()
	laid.ChangePart(0, func(p *Setup) { p.Part.Turn[0] = 90 })
	if same, _ := s.Carried(laid, model, regions); same != model {
		t.Error("a part that is laid on another side can't be carried there")
	}
}
