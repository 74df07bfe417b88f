package job

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"conewright/geom/form"
	"conewright/geom/mesh"
	"conewright/geom/suggest"

	"gonum.org/v1/gonum/spatial/r3"
)

// trialJob is a job for a part in a folder of its own, with other things as given.
func trialJob(t *testing.T, part *mesh.Mesh, more string) (*Setup, *Model) {
	t.Helper()
	dir := t.TempDir()
	f, err := os.Create(filepath.Join(dir, "part.stl"))
	if err != nil {
		t.Fatal(err)
	}
	if err := mesh.WriteSTL(f, part); err != nil {
		t.Fatal(err)
	}
	f.Close()
	name := filepath.Join(dir, "job.json")
	text := `{"conewright": 1, "part": {"file": "part.stl"}, "machine": "swivel-45", ` + more + ` "zones": {"name": "part", "field": {"kind": "level"}}}`
	if err := os.WriteFile(name, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	s, err := Load(name)
	if err != nil {
		t.Fatal(err)
	}
	m, err := ReadModel(context.Background(), s)
	if err != nil {
		t.Fatal(err)
	}
	return s, m
}

// coneAt is a suggestion of one cone about the middle of the bed.
func coneAt(s *Setup, angle float64, f suggest.Figures) Suggestion {
	c := s.Clone()
	c.Zones = &Zone{Name: "part", Field: &Field{Kind: KindCone, Grow: GrowOutward, Angle: angle, Axis: &[2]float64{125, 105}}}
	return Suggestion{Setup: c, Plan: suggest.Plan{Figures: f, Why: "A cone."}}
}

// Lines of a 63-degree cone are less than half as wide as the bead: too thin for the nozzle. A
// 45-degree one goes before it, unless that leaves more in the air.
func TestAPlanWithTooThinLinesGoesBehindAsGoodAOne(t *testing.T) {
	box := form.Box(r3.Vec{}, r3.Vec{X: 5, Y: 5, Z: 2})
	for _, worse := range []int{0, 1} {
		s, m := trialJob(t, box, "")
		found := []Suggestion{coneAt(s, 63, suggest.Figures{}), coneAt(s, 45, suggest.Figures{MidairStarts: worse})}
		if err := tryOut(context.Background(), s, m, found); err != nil {
			t.Fatal(err)
		}
		if a := found[0].Trial.Against; a != nil && worse == 0 {
			t.Errorf("the plan that prints isn't first: %s", a.Text)
		}
		thin := found[1-worse]
		if thin.Trial == nil || thin.Trial.Against == nil || thin.Trial.Against.Code != "thin-line" || !strings.Contains(thin.Plan.Why, "(thin-line)") {
			t.Errorf("the thin lines aren't told: %q", thin.Plan.Why)
		}
		for i := range found {
			if e := found[i].Estimate; e == nil || e.Seconds < 5 || e.Filament < 10 {
				t.Errorf("plan %d: the motion isn't told: %+v", i, e)
			}
		}
	}
}

// A plan whose run is stopped, here by heat that the card forbids, goes behind one that
// runs, also where that leaves something in the air: no part at all comes of the first.
func TestAPlanThatIsStoppedGoesBehindOneThatRuns(t *testing.T) {
	s, m := trialJob(t, form.Box(r3.Vec{}, r3.Vec{X: 5, Y: 5, Z: 2}), "")
	stopped := coneAt(s, 45, suggest.Figures{})
	stopped.Setup.Material.NozzleTemp = 350
	found := []Suggestion{stopped, coneAt(s, 45, suggest.Figures{MidairStarts: 1})}
	if err := tryOut(context.Background(), s, m, found); err != nil {
		t.Fatal(err)
	}
	against := found[1].Trial
	if found[0].Trial == nil || found[0].Trial.stopped() || !against.stopped() {
		t.Fatalf("of the first: %+v, of the second: %+v", found[0].Trial, against)
	}
	if !strings.Contains(found[0].Plan.Why, against.Against.Code) {
		t.Errorf("the first doesn't say why it is: %q", found[0].Plan.Why)
	}
}

// A plate on a column in one corner, with a peg that hangs from the plate: whatever way
// shells slope, the peg's end begins in the air. With support, the first plan holds all,
// says what support takes, and is the same each time; without, none is laid.
func TestSupportIsCountedWhereNoPlanCarriesThePart(t *testing.T) {
	part := form.Joined(
		form.Box(r3.Vec{}, r3.Vec{X: 4, Y: 5, Z: 13}),
		form.Box(r3.Vec{X: 3}, r3.Vec{X: 16, Y: 5, Z: 1}),
		form.Box(r3.Vec{X: 3, Z: 11}, r3.Vec{X: 16, Y: 5, Z: 13}),
		form.Box(r3.Vec{X: 12, Y: 1, Z: 4}, r3.Vec{X: 15, Y: 4, Z: 12}),
	)
	var before string
	for _, support := range []string{"all", "all", "none"} {
		s, m := trialJob(t, part, `"support": "`+support+`",`)
		found, err := Suggestions(context.Background(), s, m, nil)
		if err != nil {
			t.Fatal(err)
		}
		if err := tryOut(context.Background(), s, m, found); err != nil {
			t.Fatal(err)
		}
		first := found[0]
		if support == "none" {
			if first.Estimate.Support != 0 || strings.Contains(first.Plan.Why, "support hold") {
				t.Errorf("support that nobody asked for: %q", first.Plan.Why)
			}
			checkLeft(t, first, part)
			continue
		}
		if before != "" && before != first.Plan.Why {
			t.Errorf("asked again: %q, before: %q", first.Plan.Why, before)
		}
		before = first.Plan.Why
		e := first.Estimate
		if first.Carries() {
			t.Fatalf("the peg is carried without support: %q", before)
		}
		if len(first.Trial.Left) > 0 {
			t.Errorf("held by support, and still left: %v", first.Trial.Left)
		}
		if e.UnheldStarts != 0 || e.UnheldArea > 0.01*first.Plan.Figures.LevelArea || e.Support < 2 || strings.Contains(before, "for comparison") || !strings.Contains(before, "of support hold the rest") {
			t.Errorf("%+v: %q", e, before)
		}
		for i := range found[1:] {
			if o := &found[1+i]; o.Setup.Part.Turn == s.Part.Turn && o.Trial == nil && o.needsLess(&first) {
				t.Errorf("plan %d needs less support: %.0f, the first %.0f mm3", i+2, o.Estimate.Support, e.Support)
			}
		}
	}
}

// checkLeft wants the end of the peg among what a plan leaves: 4 mm over the bed, in the
// peg's square, wherever the part was seated.
func checkLeft(t *testing.T, g Suggestion, part *mesh.Mesh) {
	t.Helper()
	box := part.Bounds()
	for _, l := range g.Trial.Left {
		x, y := l.At[0]-125+(box.Min.X+box.Max.X)/2, l.At[1]-105+(box.Min.Y+box.Max.Y)/2
		const near = 0.1
		if l.Area == 0 && l.At[2] > 4-near && l.At[2] < 4+near && x > 12-near && x < 15+near && y > 1-near && y < 4+near {
			return
		}
	}
	t.Errorf("the end of the peg isn't among what is left: %+v", g.Trial.Left)
}
