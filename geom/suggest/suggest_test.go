package suggest

import (
	"context"
	"errors"
	"math"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"conewright/geom/machine"
	"conewright/geom/mesh"
	"conewright/geom/overhang"
	"conewright/geom/section"
	"conewright/geom/warp"
	"conewright/geom/zone"
)

func card(t testing.TB, name string) *machine.Card {
	t.Helper()
	c, ok := machine.Builtin(name)
	if !ok {
		t.Fatalf("no card %s", name)
	}
	return c
}

func plansOf(t *testing.T, m *mesh.Mesh, o Options) []Plan {
	t.Helper()
	plans, err := Plans(context.Background(), m, o, nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(plans) == 0 || len(plans) > MaxPlans {
		t.Fatalf("%d plans", len(plans))
	}
	return plans
}

// The requirement of the issue: no mid-air start and at least 90 % less
// unsupported area than level layers, or a plain word that there is no such
// plan.
func checkFirst(t *testing.T, plans []Plan, none bool) {
	t.Helper()
	f, why := &plans[0].Figures, plans[0].Why
	says := strings.Contains(why, "No plan was found")
	switch {
	case none && !says:
		t.Errorf("should say that there is no plan: %s", why)
	case !none && says:
		t.Errorf("finds none: %s", why)
	case !none && (f.MidairStarts > 0 || f.OverhangArea > 0.1*f.LevelArea+noArea || f.HeadDepth > 0):
		t.Errorf("first plan %+v", *f)
	}
	for i := range plans {
		if w := plans[i].Why; strings.Count(w, ". ") > 0 || !strings.HasSuffix(w, ".") {
			t.Errorf("not one sentence: %q", w)
		}
	}
}

// checkPlan judges a plan anew, from its tree of zones alone.
func checkPlan(t *testing.T, m *mesh.Mesh, o Options, p *Plan) {
	t.Helper()
	o, err := o.filled()
	if err != nil {
		t.Fatal(err)
	}
	zones, err := zone.Split(context.Background(), m, p.Zones.tree())
	if err != nil {
		t.Fatal(err)
	}
	leaves, names := p.Zones.Leaves(), map[string]bool{}
	if len(zones) != p.Figures.Zones {
		t.Fatalf("%d zones, figures say %d", len(zones), p.Figures.Zones)
	}
	r := newReach(&o)
	area, starts := 0.0, 0
	for i, z := range zones {
		spec := &leaves[i].Field
		f := spec.Lift()
		layer := o.Shell / math.Cos(f.Angle())
		refined, err := warp.Refine(context.Background(), z.Mesh, &f, o.Tolerance)
		if err != nil {
			t.Fatal(err)
		}
		area += overhang.Find(z.Mesh, &f, o.OverhangDeg).Area
		starts += len(overhang.MidairStarts(refined, &f, nil, layer))
		if names[z.Name] {
			t.Errorf("two zones %q", z.Name)
		}
		names[z.Name] = true
		if off := r.off(spec); off > o.Card.Head.OffSquare+1e-6 {
			t.Errorf("zone %s stands %.1f degrees off square", z.Name, off)
		}
		if spec.Kind != Level {
			if a := (o.Bead-o.Shell)*o.Shell + math.Pi/4*o.Shell*o.Shell; a/layer+layer*(1-math.Pi/4) < layer {
				t.Errorf("zone %s: a line is narrower than its layer is high at %g degrees", z.Name, spec.AngleDeg)
			}
		}
	}
	if math.Abs(area-p.Figures.OverhangArea) > 0.01 || starts != p.Figures.MidairStarts {
		t.Errorf("figures %+v, judged anew %.3f mm2 and %d starts", p.Figures, area, starts)
	}
}

// checkRegions looks for starts a second way: regions of shells with nothing in
// the shell before (overhang.RegionStarts).
func checkRegions(t *testing.T, m *mesh.Mesh, o Options, p *Plan) {
	t.Helper()
	o, _ = o.filled()
	zones, err := zone.Split(context.Background(), m, p.Zones.tree())
	if err != nil {
		t.Fatal(err)
	}
	for i, spec := range p.Zones.Leaves() {
		f := spec.Field.Lift()
		layer := o.Shell / math.Cos(f.Angle())
		refined, err := warp.Refine(context.Background(), zones[i].Mesh, &f, o.Tolerance)
		if err != nil {
			t.Fatal(err)
		}
		lifted, drop := warp.Lift(refined, &f)
		var heights []float64
		for h := layer / 2; h < lifted.Bounds().Max.Z; h += layer {
			heights = append(heights, h)
		}
		cuts, err := section.Sections(context.Background(), lifted, heights)
		if err != nil {
			t.Fatal(err)
		}
		var sections []overhang.Section
		for _, c := range cuts {
			sections = append(sections, overhang.Section{Height: c.Z + drop, Contours: c.Contours})
		}
		starts, err := overhang.RegionStarts(sections, &f, zone.NewBase(zones[i].Mesh))
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range starts {
			if !s.Brief {
				t.Errorf("zone %s: by regions, a shell begins in mid-air at %.2f (%.3f mm2)", spec.Name, s.At, s.Area)
			}
		}
	}
}

func TestFirstPlanIsWorthHaving(t *testing.T) {
	for _, q := range testParts {
		t.Run(q.name, func(t *testing.T) {
			t.Parallel()
			m := q.make().Seat(125, 105)
			if h := m.Check(); !h.Sound() {
				t.Fatalf("the test's own part is broken: %v", h)
			}
			o := Options{Card: card(t, "swivel-45")}
			plans := plansOf(t, m, o)
			checkFirst(t, plans, q.none)
			for i := range plans {
				checkPlan(t, m, o, &plans[i])
			}
			if !q.none && !testing.Short() {
				checkRegions(t, m, o, &plans[0])
			}
		})
	}
}

func TestDemoPartsGetAPlan(t *testing.T) {
	names, _ := filepath.Glob("../../assets/parts/*.stl")
	if len(names) == 0 {
		t.Skip("no demo parts here")
	}
	for _, name := range names {
		t.Run(filepath.Base(name), func(t *testing.T) {
			t.Parallel()
			m, _, err := mesh.ReadFile(context.Background(), name, mesh.ReadOptions{Unit: 1})
			if err != nil {
				t.Fatal(err)
			}
			m, _ = m.Mend()
			m = m.Seat(125, 105)
			for _, c := range []string{"swivel-45", "swivel-45-wired"} {
				o := Options{Card: card(t, c)}
				plans := plansOf(t, m, o)
				checkFirst(t, plans, false)
				for i := range plans {
					checkPlan(t, m, o, &plans[i])
				}
			}
		})
	}
}

func TestStraightHeadGetsWhatItCanPrint(t *testing.T) {
	for _, q := range []struct {
		part string
		none bool
	}{
		{"bollard", true}, // a level underside wants 45 degrees
		{"sphere", true},
		{"funnel, wide end down", false}, // leans out by 55
		{"funnel, wide end up", false},
		{"hourglass", false},
		{"plain block", false},
	} {
		t.Run(q.part, func(t *testing.T) {
			m := partNamed(t, q.part).Seat(125, 105)
			o := Options{Card: card(t, "straight")}
			plans := plansOf(t, m, o)
			checkFirst(t, plans, q.none)
			for i := range plans {
				checkPlan(t, m, o, &plans[i])
			}
		})
	}
}

func partNamed(t *testing.T, name string) *mesh.Mesh {
	t.Helper()
	for _, q := range testParts {
		if q.name == name {
			return q.make()
		}
	}
	t.Fatalf("no part %q", name)
	return nil
}

func TestSamePlansOnAnyNumberOfProcessors(t *testing.T) {
	for _, name := range []string{"hourglass", "portal on two wide capitals", "mushroom with a hanging rim"} {
		m := partNamed(t, name).Seat(125, 105)
		o := Options{Card: card(t, "swivel-45")}
		first := plansOf(t, m, o)
		before := runtime.GOMAXPROCS(1)
		again := plansOf(t, m, o)
		runtime.GOMAXPROCS(before)
		if d := cmp.Diff(first, again); d != "" {
			t.Errorf("%s: %s", name, d)
		}
	}
}

func TestCancelEndsTheSearch(t *testing.T) {
	m := partNamed(t, "hourglass").Seat(125, 105)
	for _, after := range []float64{0, 0.06, 0.2, 0.45} {
		ctx, cancel := context.WithCancel(context.Background())
		_, err := Plans(ctx, m, Options{Card: card(t, "swivel-45")}, func(done float64) {
			if done >= after {
				cancel()
			}
		})
		cancel()
		if !errors.Is(err, context.Canceled) {
			t.Errorf("cancelled at %g: %v", after, err)
		}
	}
}

func TestProgressRises(t *testing.T) {
	last := -1.0
	_, err := Plans(context.Background(), partNamed(t, "hourglass").Seat(125, 105), Options{Card: card(t, "swivel-45")}, func(done float64) {
		if done < last || done > 1 {
			t.Errorf("progress %g after %g", done, last)
		}
		last = done
	})
	if err != nil || last != 1 {
		t.Errorf("ends at %g, %v", last, err)
	}
}

func TestInputIsKept(t *testing.T) {
	m := partNamed(t, "hourglass").Seat(125, 105)
	kept := &mesh.Mesh{Vertices: append(m.Vertices[:0:0], m.Vertices...), Facets: append(m.Facets[:0:0], m.Facets...)}
	plansOf(t, m, Options{Card: card(t, "swivel-45")})
	if d := cmp.Diff(kept, m); d != "" {
		t.Error(d)
	}
}

func TestNonsenseIsRefused(t *testing.T) {
	m := partNamed(t, "plain block")
	for name, o := range map[string]Options{
		"no card":        {},
		"shell NaN":      {Card: card(t, "straight"), Shell: math.NaN()},
		"bead below 0":   {Card: card(t, "straight"), Bead: -1},
		"overhang huge":  {Card: card(t, "straight"), OverhangDeg: math.Inf(1)},
		"tolerance neg.": {Card: card(t, "straight"), Tolerance: -0.1},
	} {
		if _, err := Plans(context.Background(), m, o, nil); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	if _, err := Plans(context.Background(), &mesh.Mesh{}, Options{Card: card(t, "straight")}, nil); err == nil {
		t.Error("empty mesh: no error")
	}
}
