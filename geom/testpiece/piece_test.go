package testpiece

import (
	"context"
	"errors"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"conewright/geom/job"
	"conewright/geom/machine"
	"conewright/geom/mesh"
)

// piece writes a kind's piece for a card and returns the job that prints it.
func piece(t *testing.T, kind, card string) *job.Setup {
	t.Helper()
	base, err := job.New("part.stl", card)
	if err != nil {
		t.Fatal(err)
	}
	m, s, err := Make(kind, base)
	if err != nil {
		t.Fatal(err)
	}
	if d := m.Check(); !d.Sound() || d.Bodies != 1 {
		t.Errorf("%s for %s: the mesh is %+v", kind, card, d)
	}
	dir := t.TempDir()
	f, err := os.Create(filepath.Join(dir, "piece.stl"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := mesh.WriteSTL(f, m); err != nil {
		t.Fatal(err)
	}
	s.Part.File = "piece.stl"
	data, err := s.JSON()
	if err != nil {
		t.Fatal(err)
	}
	s, err = job.Parse(data, dir)
	if err != nil {
		t.Fatalf("%s for %s: %v", kind, card, err)
	}
	return s
}

func run(t *testing.T, s *job.Setup) *job.Result {
	t.Helper()
	r, err := job.Run(context.Background(), s, job.Options{Out: filepath.Join(t.TempDir(), "out"), Made: time.Unix(0, 0).UTC()})
	if err != nil {
		for _, f := range r.Log.Findings {
			if f.Rank == job.Stop {
				t.Log(f.Zone, f.Text)
			}
		}
		t.Fatal(err)
	}
	return r
}

// Every piece comes to a motion file on every kind of machine that turns or stands
// straight. All of them take minutes: CONEWRIGHT_PIECES=all runs them, else a few are
// run, and the rest is only made and read.
func TestPiecesRunOnBuiltinCards(t *testing.T) {
	all := os.Getenv("CONEWRIGHT_PIECES") == "all"
	few := map[string]bool{"swivel-45/" + First: true, "trunnion/" + Flow: true, "swivel-45/" + Flow: true}
	for _, card := range machine.BuiltinNames() {
		if c, _ := machine.Builtin(card); c.LeansFixed() {
			base, _ := job.New("part.stl", card)
			if _, _, err := Make(Flow, base); !errors.Is(err, ErrFixedLean) {
				t.Errorf("%s: %v", card, err)
			}
			continue
		}
		for _, kind := range Kinds() {
			name := card + "/" + kind
			t.Run(name, func(t *testing.T) {
				s := piece(t, kind, card)
				if all || few[name] && !testing.Short() {
					run(t, s)
				}
			})
		}
	}
}

// A single wall all the way up: its volume is its length times its thickness, and its
// length that of the cone's wall. Guldin: a line that turns sweeps its length times the
// way of its middle.
func TestTheFlowConeIsOneBeadThick(t *testing.T) {
	s := piece(t, Flow, "straight")
	r := run(t, s)
	wall := 2 * math.Pi * (lowRadius - s.Bead/2) * wallHeight * s.Bead
	if got := r.Log.Motion.Volume; math.Abs(got-wall) > 0.1*wall {
		t.Errorf("%.0f mm3 are printed, one wall of %g mm takes %.0f", got, s.Bead, wall)
	}
}

// A machine whose extruder gives more than its card says prints too thick a wall; with
// the number that the wall gives, it prints the wanted one.
func TestTheFilamentsNumberMendsTheFlow(t *testing.T) {
	s := piece(t, Flow, "straight")
	card := s.Machine.Card
	const acts = 1.68 // mm: the diameter that the extruder really feeds as, seen from E
	asked := (s.Bead-s.Shell)*s.Shell + math.Pi/4*s.Shell*s.Shell
	for _, real := range []float64{acts, 1.8} {
		given := asked * math.Pow(real/card.Filament, 2) // mm2 that come out
		wall := (given-math.Pi/4*s.Shell*s.Shell)/s.Shell + s.Shell
		d, err := Filament(s, wall)
		if err != nil || math.Abs(d-real) > 1e-9 {
			t.Errorf("a wall of %.3f mm says %.3f mm, it feeds as %g (%v)", wall, d, real, err)
		}
	}
	for _, wall := range []float64{0, 0.9, math.NaN()} {
		if _, err := Filament(s, wall); err == nil {
			t.Errorf("a wall of %g mm is believed", wall)
		}
	}
}

// With the tip's number moved, the words that bring the tip to a height are lower by
// just what it stood too high.
func TestTheDiscMovesTheTip(t *testing.T) {
	card, _ := machine.Builtin("straight")
	before := card.Words(machine.Pose{}).Z
	by, err := Higher(DiscHeight + 0.07)
	if err != nil {
		t.Fatal(err)
	}
	LowerTip(card, by)
	if err := card.Check(); err != nil {
		t.Fatal(err)
	}
	if got := card.Words(machine.Pose{}).Z - before; math.Abs(got+0.07) > 1e-9 {
		t.Errorf("the words move by %g mm", got)
	}
	if swivel, _ := machine.Builtin("swivel-45"); KeepsTip(swivel) {
		t.Error("a swivel's card has no place for the tip's height")
	}
	if _, err := Higher(3); err == nil {
		t.Error("a disc of 3 mm is believed")
	}
}

// The bell's overhang against the shells is what the page says: at a limit between two
// bands all bands above are unsupported, none below.
func TestTheBellLeansAsFarAsItSays(t *testing.T) {
	for _, name := range []string{"straight", "swivel-45"} {
		s := piece(t, Droop, name)
		list := Leans(s.Machine.Card)
		if len(list) < 5 {
			t.Fatalf("%s: %v", name, list)
		}
		s.Overhang = list[len(list)-2] + 2
		m, err := job.ReadModel(context.Background(), s)
		if err != nil {
			t.Fatal(err)
		}
		regions, err := job.Divide(context.Background(), s, m)
		if err != nil {
			t.Fatal(err)
		}
		area := func(limit float64) float64 {
			g := *regions[0]
			g.Field, g.Spec = s.Zones.Field.Lift(), s.Zones.Field
			g.Numbers = s.Numbers(s.Zones.Field)
			if err := g.Warp(context.Background(), s.Tolerance); err != nil {
				t.Fatal(err)
			}
			j, err := job.Judge(context.Background(), &g, limit, job.JudgeLevel(&g, limit))
			if err != nil {
				t.Fatal(err)
			}
			return j.Overhang.Area
		}
		for i, lean := range list {
			under, over := area(lean+2), area(lean-2)
			if i == len(list)-1 && under > 1 {
				t.Errorf("%s: %.1f mm2 lean out past the last band's %g", name, under, lean)
			}
			if over <= under+10 {
				t.Errorf("%s: the band of %g isn't between %g and %g: %.1f and %.1f mm2", name, lean, lean-2, lean+2, over, under)
			}
		}
	}
}
