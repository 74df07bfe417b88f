package warp

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"conewright/geom/field"
	"conewright/geom/form"
	"conewright/geom/mesh"
)

func warpAll(t *testing.T, m *mesh.Mesh, f *field.Field, tol float64) (refined, warped *mesh.Mesh, drop float64) {
	t.Helper()
	refined, err := Refine(context.Background(), m, f, tol)
	if err != nil {
		t.Fatal(err)
	}
	warped, drop, err = Warp(context.Background(), m, f, tol)
	if err != nil {
		t.Fatal(err)
	}
	return refined, warped, drop
}

func TestEveryFacetKeepsTheToleranceAndTheMeshStaysClosed(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for partName, m := range parts() {
		for fieldName, f := range fields() {
			for _, tol := range []float64{0.5, 0.02} {
				name := partName + ", " + fieldName
				refined, warped, drop := warpAll(t, m, &f, tol)
				balanced(t, name, refined.Facets)
				checkTolerance(t, name, refined, &f, tol, random)
				checkLift(t, name, refined, warped, &f, drop)
				checkVolume(t, name, m, warped, tol)
				if got := area(refined); math.Abs(got-area(m)) > 1e-9*got {
					t.Errorf("%s: refined area %v, part %v", name, got, area(m))
				}
			}
		}
	}
}

func checkTolerance(t *testing.T, name string, refined *mesh.Mesh, f *field.Field, tol float64, random *rand.Rand) {
	t.Helper()
	for i := range refined.Facets {
		if worst := worstInside(refined, i, f, random, 20); worst > tol*(1+1e-9)+1e-9 {
			t.Fatalf("%s, tolerance %v: facet %d strays by %v", name, tol, i, worst)
		}
	}
}

func checkLift(t *testing.T, name string, refined, warped *mesh.Mesh, f *field.Field, drop float64) {
	t.Helper()
	least := math.Inf(1)
	for i, v := range warped.Vertices {
		u := refined.Vertices[i]
		if want := u.Z + f.At(plan(u)) - drop; v.X != u.X || v.Y != u.Y || math.Abs(v.Z-want) > 1e-12 {
			t.Fatalf("%s: vertex %v was lifted to %v", name, u, v)
		}
		least = math.Min(least, v.Z)
	}
	if least != 0 {
		t.Fatalf("%s: lowest point at %v", name, least)
	}
}

// The warp is a shear, so it keeps volume: within 0.1 % or what a gap of tol
// can hold over half of the area.
func checkVolume(t *testing.T, name string, m, warped *mesh.Mesh, tol float64) {
	t.Helper()
	want, got := volume(m), volume(warped)
	if math.Abs(got-want) > math.Max(1e-3*want, area(m)*tol/2) {
		t.Errorf("%s: volume %v, part %v", name, got, want)
	}
}

func TestRandomFacetsKeepTheToleranceEverywhere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		spread := math.Pow(10, rapid.Float64Range(-1, 2).Draw(t, "spread"))
		vertices := make([]r3.Vec, 4)
		for i := range vertices {
			vertices[i] = r3.Vec{
				X: spread * rapid.Float64Range(-1, 1).Draw(t, "x"),
				Y: spread * rapid.Float64Range(-1, 1).Draw(t, "y"),
				Z: spread * rapid.Float64Range(0, 1).Draw(t, "z"),
			}
		}
		m := &mesh.Mesh{Vertices: vertices, Facets: [][3]int32{{0, 1, 2}, {0, 2, 3}, {0, 3, 1}, {1, 3, 2}}}
		f := field.NewCone(rapid.Float64Range(5, 70).Draw(t, "angle")*deg, rapid.Bool().Draw(t, "inward"), r2.Vec{
			X: rapid.Float64Range(-5, 5).Draw(t, "ax"), Y: rapid.Float64Range(-5, 5).Draw(t, "ay"),
		}, rapid.SampledFrom([]float64{0, 0, 0.001, 0.1, 1, 10}).Draw(t, "round"))
		tol := spread * math.Pow(10, rapid.Float64Range(-3, 0).Draw(t, "tol"))
		refined, err := Refine(context.Background(), m, &f, tol)
		if err != nil {
			t.Fatal(err)
		}
		random := rand.New(rand.NewPCG(3, 4))
		for i := range refined.Facets {
			if worst := worstInside(refined, i, &f, random, 30); worst > tol*(1+1e-9)+1e-9 {
				t.Fatalf("facet %d strays by %v > %v", i, worst, tol)
			}
		}
		count := map[[2]int32]int{}
		for _, g := range refined.Facets {
			for k := range g {
				count[[2]int32{g[k], g[(k+1)%3]}]++
			}
		}
		for e := range count {
			if count[e] != 1 || count[[2]int32{e[1], e[0]}] != 1 {
				t.Fatalf("edge %v is open or doubled", e)
			}
		}
	})
}

func TestLevelAndRampReturnTheMeshUncut(t *testing.T) {
	m := form.Box(r3.Vec{X: 10, Z: 3}, r3.Vec{X: 30, Y: 40, Z: 7})
	for name, f := range map[string]field.Field{"level": {}, "ramp": field.NewRamp(1, 2), "flat cone": field.NewCone(0, true, r2.Vec{}, 1)} {
		if refined, err := Refine(context.Background(), m, &f, 0.001); err != nil || refined != m {
			t.Errorf("%s: mesh was touched (%v)", name, err)
		}
	}
	warped, drop, err := Warp(context.Background(), m, &field.Field{}, 0.02)
	if err != nil || drop != 3 || warped.Vertices[7] != (r3.Vec{X: 30, Y: 40, Z: 4}) || m.Vertices[0].Z != 3 {
		t.Errorf("level: drop %v, vertices %v (%v)", drop, warped.Vertices, err)
	}
}

func TestLevelSidesStayExactlyLevel(t *testing.T) {
	m := form.Box(r3.Vec{X: -20, Y: -15, Z: 0.1}, r3.Vec{X: 30.3, Y: 15, Z: 25.7})
	f := field.NewCone(45*deg, false, r2.Vec{X: 1, Y: 2}, 0.7)
	refined, _, _ := warpAll(t, m, &f, 0.01)
	onBase, onTop := map[r2.Vec]bool{}, map[r2.Vec]bool{}
	for _, v := range refined.Vertices {
		onWall := v.X == -20 || v.X == 30.3 || v.Y == -15 || v.Y == 15
		switch {
		case v.Z == 0.1 && onWall:
			onBase[plan(v)] = true
		case v.Z == 25.7 && onWall:
			onTop[plan(v)] = true
		case !onWall && v.Z != 0.1 && v.Z != 25.7:
			t.Fatalf("vertex %v left every side", v)
		}
	}
	if diff := cmp.Diff(onBase, onTop); diff != "" {
		t.Errorf("upper and lower edges of walls are cut unlike: %s", diff)
	}
	if diff := cmp.Diff(m.Vertices, refined.Vertices[:len(m.Vertices)]); diff != "" {
		t.Errorf("own vertices moved: %s", diff)
	}
}

func TestTheAxisGetsAVertexWhereAFacetHoldsIt(t *testing.T) {
	axis := r2.Vec{X: 0.3, Y: 0.1}
	f := field.NewCone(45*deg, true, axis, 0)
	refined, _, _ := warpAll(t, form.Box(r3.Vec{X: -20, Y: -15}, r3.Vec{X: 30, Y: 15, Z: 25}), &f, 0.02)
	at := map[float64]int{}
	for _, v := range refined.Vertices {
		if plan(v) == axis {
			at[v.Z]++
		}
	}
	if at[0] != 1 || at[25] != 1 || len(at) != 2 {
		t.Errorf("vertices on the axis by height: %v", at)
	}
}

func TestPiecesInheritTheirOriginAndKeepTheirPlace(t *testing.T) {
	m := form.Box(r3.Vec{X: -20, Y: -15}, r3.Vec{X: 30, Y: 15, Z: 25})
	for i := range m.Facets {
		m.Origins = append(m.Origins, mesh.Origin(i/4))
	}
	f := field.NewCone(45*deg, false, r2.Vec{}, 0)
	refined, warped, _ := warpAll(t, m, &f, 0.02)
	if len(refined.Origins) != len(refined.Facets) || len(warped.Origins) != len(refined.Facets) {
		t.Fatalf("%d origins for %d facets", len(refined.Origins), len(refined.Facets))
	}
	want := func(v r3.Vec) (o mesh.Origin) { // which origins a place can have
		switch {
		case v.Z == 0 || v.Z == 25:
			return 0
		case v.Y == -15 || v.X == 30:
			return 1
		}
		return 2
	}
	last := mesh.Origin(0)
	for i, o := range refined.Origins {
		a, b, c := refined.Corners(i)
		if mid := r3.Scale(1./3, r3.Add(a, r3.Add(b, c))); want(r3.Vec{X: round6(mid.X), Y: round6(mid.Y), Z: round6(mid.Z)}) != o {
			t.Fatalf("facet %d about %v has origin %d", i, mid, o)
		}
		if o < last {
			t.Fatalf("facet %d left its place", i)
		}
		last = o
	}
}

func round6(x float64) float64 { return math.Round(x*1e6) / 1e6 }

func TestUncutNeighboursOfCutFacetsStayInPlace(t *testing.T) {
	// Small boxes far off the axis need no cut; large ones between them do.
	m, f := &mesh.Mesh{}, field.NewCone(45*deg, false, r2.Vec{}, 0)
	for i := range 400 {
		size := 0.1
		if i%7 == 3 {
			size = 30
		}
		lo := r3.Vec{X: 100 + 40*float64(i%20), Y: 40 * float64(i/20)}
		b := form.Box(lo, r3.Add(lo, r3.Vec{X: size, Y: size, Z: 1}))
		for _, t := range b.Facets {
			n := int32(len(m.Vertices))
			m.Facets = append(m.Facets, [3]int32{t[0] + n, t[1] + n, t[2] + n})
			m.Origins = append(m.Origins, mesh.Origin(i%3))
		}
		m.Vertices = append(m.Vertices, b.Vertices...)
	}
	refined, _, _ := warpAll(t, m, &f, 0.02)
	balanced(t, "boxes", refined.Facets)
	// Walking both lists: an uncut facet stands as it was, with its origin.
	k := 0
	for i, t0 := range m.Facets {
		if (i/12)%7 != 3 {
			for k < len(refined.Facets) && refined.Facets[k] != t0 {
				k++
			}
			if k == len(refined.Facets) || refined.Origins[k] != m.Origins[i] {
				t.Fatalf("uncut facet %d is not in its place", i)
			}
		}
	}
}

// What mending left: facets of no area, by corners or by place, must not open
// the mesh nor stop the work.
func TestFlatFacetsAreCutLikeTheirNeighbours(t *testing.T) {
	m := form.Box(r3.Vec{X: -20, Y: -15}, r3.Vec{X: 30, Y: 15, Z: 25})
	n := int32(len(m.Vertices))
	// A vertex on the line between 0 and 1 and one at the place of 1.
	m.Vertices = append(m.Vertices, r3.Vec{X: 4, Y: -15}, m.Vertices[1])
	m.Facets = append(m.Facets, [3]int32{0, 0, 1}, [3]int32{0, n, 1}, [3]int32{0, 1, n}, [3]int32{1, n + 1, 0}, [3]int32{0, n + 1, 1})
	for name, f := range fields() {
		refined, _, _ := warpAll(t, m, &f, 0.02)
		balanced(t, name, refined.Facets)
		checkTolerance(t, name, refined, &f, 0.02, rand.New(rand.NewPCG(5, 6)))
	}
}

func TestResultDoesNotDependOnProcessors(t *testing.T) {
	m := parts()["bollard aside"]
	f := field.NewCone(45*deg, false, r2.Vec{X: 30}, 3)
	_, want, wantDrop := warpAll(t, m, &f, 0.003)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	_, got, drop := warpAll(t, m, &f, 0.003)
	if !slices.Equal(want.Vertices, got.Vertices) || !slices.Equal(want.Facets, got.Facets) || drop != wantDrop {
		t.Error("one processor gives another mesh")
	}
}

func TestBadInputIsRefused(t *testing.T) {
	good := form.Box(r3.Vec{}, r3.Vec{X: 1, Y: 1, Z: 1})
	nan := form.Box(r3.Vec{X: math.NaN()}, r3.Vec{X: 1, Y: 1, Z: 1})
	inf := form.Box(r3.Vec{}, r3.Vec{X: math.Inf(-1), Y: 1, Z: 1})
	lies := &mesh.Mesh{Vertices: good.Vertices, Facets: [][3]int32{{0, 1, 8}}}
	short := &mesh.Mesh{Vertices: good.Vertices, Facets: good.Facets, Origins: make([]mesh.Origin, 3)}
	cone := field.NewCone(45*deg, false, r2.Vec{}, 0)
	for name, c := range map[string]struct {
		m   *mesh.Mesh
		tol float64
	}{
		"NaN": {nan, 0.1}, "infinite": {inf, 0.1}, "vertex that isn't there": {lies, 0.1}, "too few origins": {short, 0.1},
		"no tolerance": {good, 0}, "negative tolerance": {good, -1}, "NaN tolerance": {good, math.NaN()}, "endless tolerance": {good, math.Inf(1)},
	} {
		if _, _, err := Warp(context.Background(), c.m, &cone, c.tol); err == nil {
			t.Errorf("%s was taken", name)
		}
	}
	if _, drop, err := Warp(context.Background(), &mesh.Mesh{}, &cone, 0.1); err != nil || drop != 0 {
		t.Errorf("empty mesh: drop %v (%v)", drop, err)
	}
}

func TestTooFineARefinementEndsInAClearError(t *testing.T) {
	cone := field.NewCone(45*deg, false, r2.Vec{}, 0)
	rounded := field.NewCone(45*deg, false, r2.Vec{}, 20)
	large, small := parts()["plate"], parts()["box on corner"]
	for name, r := range map[string]*refinement{
		"by one edge":  {mesh: large, field: &cone, tol: 1e-6, limit: 1000},
		"by all edges": {mesh: small, field: &cone, tol: 1e-3, limit: 400},
		"by one facet": {mesh: large, field: &rounded, tol: 1e-3, limit: 2000},
	} {
		if _, err := r.run(context.Background()); !errors.Is(err, ErrTooFine) {
			t.Errorf("%s: want ErrTooFine, got %v", name, err)
		}
	}
	refined, err := Refine(context.Background(), large, &rounded, 0.02)
	if err != nil {
		t.Fatal(err)
	}
	exact := refinement{mesh: large, field: &rounded, tol: 0.02, limit: len(refined.Facets)}
	if _, err := exact.run(context.Background()); err != nil {
		t.Errorf("as many facets as allowed: %v", err)
	}
	short := refinement{mesh: large, field: &rounded, tol: 0.02, limit: len(refined.Facets) - 1}
	if _, err := short.run(context.Background()); !errors.Is(err, ErrTooFine) {
		t.Errorf("one facet too many: %v", err)
	}
}

func TestCancelStopsTheWork(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	f := field.NewCone(45*deg, false, r2.Vec{}, 0)
	if _, _, err := Warp(ctx, parts()["box"], &f, 0.01); !errors.Is(err, context.Canceled) {
		t.Errorf("want context.Canceled, got %v", err)
	}
}
