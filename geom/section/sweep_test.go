package section_test

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"strings"
	"testing"

	diff "github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"

	"conewright/geom/field"
	"conewright/geom/form"
	"conewright/geom/mesh"
	"conewright/geom/section"
	"conewright/geom/warp"
)

// lump is a closed, dented ball whose corners lie on a grid, so that many of
// them lie exactly on levels.
func lump(seed uint64, n int, grid float64) *mesh.Mesh {
	random := rand.New(rand.NewPCG(seed, 1))
	var profile []r2.Vec
	for i := range n {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		profile = append(profile, r2.Vec{X: 30 + 9*c, Y: 9 * s})
	}
	m := form.Turned(profile, 2*n)
	for i, v := range m.Vertices {
		v = r3.Add(v, r3.Vec{X: random.NormFloat64(), Y: random.NormFloat64(), Z: random.NormFloat64()})
		if grid > 0 {
			v = r3.Scale(grid, r3.Vec{X: math.Round(v.X / grid), Y: math.Round(v.Y / grid), Z: math.Round(v.Z / grid)})
		}
		m.Vertices[i] = v
	}
	return m
}

type edge struct{ a, b r2.Vec }

// slowSection cuts every facet by itself: the segments, solid on their left,
// without those of no length, and the area that they go round.
func slowSection(m *mesh.Mesh, z float64) (segments []edge, area float64) {
	for i := range m.Facets {
		a, b, c := m.Corners(i)
		corners := [3]r3.Vec{a, b, c}
		var s edge
		found := 0
		for k, p := range corners {
			q := corners[(k+1)%3]
			if (p.Z >= z) == (q.Z >= z) {
				continue
			}
			found++
			low, high := p, q
			if p.Z >= z {
				low, high = q, p
			}
			at := r2.Vec{X: high.X, Y: high.Y}
			if high.Z != z {
				t := (z - low.Z) / (high.Z - low.Z)
				at = r2.Vec{X: low.X + t*(high.X-low.X), Y: low.Y + t*(high.Y-low.Y)}
			}
			if p.Z >= z { // the side falls: the segment begins here
				s.a = at
			} else {
				s.b = at
			}
		}
		if found == 2 && s.a != s.b {
			segments = append(segments, s)
			area += r2.Cross(s.a, s.b) / 2
		}
	}
	return segments, area
}

func sorted(edges []edge) []edge {
	slices.SortFunc(edges, func(p, q edge) int {
		return cmp.Or(cmp.Compare(p.a.X, q.a.X), cmp.Compare(p.a.Y, q.a.Y), cmp.Compare(p.b.X, q.b.X), cmp.Compare(p.b.Y, q.b.Y))
	})
	return edges
}

func TestSweepAgreesWithCuttingEveryFacetByItself(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		grid := rapid.SampledFrom([]float64{0, 0.5, 2}).Draw(t, "grid")
		m := lump(rapid.Uint64().Draw(t, "seed"), rapid.IntRange(3, 14).Draw(t, "n"), grid)
		var heights []float64
		for h := -10.0; h < 10; h += 0.5 {
			heights = append(heights, h)
		}
		sections, err := section.Sections(context.Background(), m, heights)
		if err != nil {
			t.Fatal(err)
		}
		for i := range sections {
			s := &sections[i]
			segments, area := slowSection(m, heights[i])
			if s.Open != 0 || math.Abs(s.Area()-area) > 1e-6*(1+math.Abs(area)) {
				t.Fatalf("z = %v: area %v, slow %v; %d open", s.Z, s.Area(), area, s.Open)
			}
			var fast []edge
			for _, c := range s.Contours {
				for k, p := range c {
					fast = append(fast, edge{p, c[(k+1)%len(c)]})
				}
			}
			if grid == 0 { // else threads of no area are left out
				if !slices.Equal(sorted(segments), sorted(fast)) {
					t.Fatalf("z = %v: %d segments, slow %d, or others", s.Z, len(fast), len(segments))
				}
			}
		}
	})
}

func TestSectionsAddUpToTheVolume(t *testing.T) {
	m := lump(7, 24, 0)
	f := field.NewCone(math.Pi/4, false, r2.Vec{X: 10}, 1)
	warped, _, err := warp.Warp(context.Background(), m, &f, 0.02)
	if err != nil {
		t.Fatal(err)
	}
	for name, m := range map[string]*mesh.Mesh{"part": m, "warped": warped} {
		bounds := m.Bounds()
		const n = 1000
		step := (bounds.Max.Z - bounds.Min.Z) / n
		heights := make([]float64, n)
		for i := range heights {
			heights[i] = bounds.Min.Z + (float64(i)+0.5)*step
		}
		sections, err := section.Sections(context.Background(), m, heights)
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for i := range sections {
			sum += sections[i].Area() * step
		}
		if want := m.Volume(); math.Abs(sum-want) > 1e-4*want {
			t.Errorf("%s: sections add up to %v, volume %v", name, sum, want)
		}
	}
}

func TestSectionsOfKnownMeshes(t *testing.T) {
	at := func(x, y, z float64) r3.Vec { return r3.Vec{X: x, Y: y, Z: z} }
	cube := form.Box(r3.Vec{}, at(2, 2, 2))
	hollow := form.Joined(form.Box(r3.Vec{}, at(6, 6, 6)), form.Inverted(form.Box(at(2, 2, 2), at(4, 4, 4))))
	touching := form.Joined(cube, form.Box(at(2, 2, 0), at(4, 4, 2)))
	touching = touching.Weld(0) // four facets at the upright edge
	for _, c := range []struct {
		name     string
		m        *mesh.Mesh
		z        float64
		contours int
		area     float64
	}{
		{"under", cube, -1, 0, 0},
		{"at the bottom nothing is below yet", cube, 0, 0, 0},
		{"inside", cube, 0.1, 1, 4},
		{"at the top solid is still below", cube, 2, 1, 4},
		{"over", cube, math.Nextafter(2, 3), 0, 0},
		{"hole", hollow, 3, 2, 32},
		{"at the bottom of the hole", hollow, 2, 1, 36},
		{"at the top of the hole", hollow, 4, 2, 32},
		{"edge of four facets", touching, 1, 0, 8}, // one contour or two, both are right
	} {
		sections, err := section.Sections(context.Background(), c.m, []float64{c.z})
		if err != nil {
			t.Fatal(err)
		}
		s := &sections[0]
		if c.contours > 0 && len(s.Contours) != c.contours || math.Abs(s.Area()-c.area) > 1e-12 || s.Open != 0 {
			t.Errorf("%s: %d contours, area %v, %d open", c.name, len(s.Contours), s.Area(), s.Open)
		}
	}
}

func TestHoldsKnowsSolidFromHoleAndOutside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := form.Turned(ringProfile, 64)
		sections, err := section.Sections(context.Background(), m, []float64{rapid.Float64Range(0.01, 2).Draw(t, "z")})
		if err != nil {
			t.Fatal(err)
		}
		p := r2.Vec{X: rapid.Float64Range(-7, 7).Draw(t, "x"), Y: rapid.Float64Range(-7, 7).Draw(t, "y")}
		r := r2.Norm(p)
		if math.Abs(r-4) < 0.01 || math.Abs(r-6) < 0.01 {
			t.Skip("too near to a chord")
		}
		if got := sections[0].Holds(p); got != (r > 4 && r < 6) {
			t.Fatalf("%v at distance %v: %v", p, r, got)
		}
	})
}

func TestCentroidAndBounds(t *testing.T) {
	far := 1e6 // the digits must not go lost
	m := form.Joined(form.Box(r3.Vec{X: far, Y: -far}, r3.Vec{X: far + 4, Y: -far + 2, Z: 2}),
		form.Box(r3.Vec{X: far + 10, Y: -far}, r3.Vec{X: far + 12, Y: -far + 4, Z: 2}))
	sections, err := section.Sections(context.Background(), m, []float64{1, 5})
	if err != nil {
		t.Fatal(err)
	}
	s := &sections[0]
	// Areas of 8 and 8: the centre lies midway between (2, 1) and (11, 2).
	if c := s.Centroid(); math.Abs(c.X-far-6.5) > 1e-8 || math.Abs(c.Y+far-1.5) > 1e-8 {
		t.Errorf("centroid %v", c)
	}
	want := r2.Box{Min: r2.Vec{X: far, Y: -far}, Max: r2.Vec{X: far + 12, Y: -far + 4}}
	if got := s.Bounds(); got != want {
		t.Errorf("bounds %v", got)
	}
	empty := &sections[1]
	if empty.Area() != 0 || empty.Bounds() != (r2.Box{}) || empty.Centroid() != (r2.Vec{}) || empty.Holds(r2.Vec{}) {
		t.Error("an empty section holds something")
	}
}

func TestSmallGapsOfAnOpenMeshAreJoined(t *testing.T) {
	for _, c := range []struct {
		name     string
		gap      float64
		contours int
		open     int
	}{{"narrow", 0.05, 1, 0}, {"wide", 0.5, 0, 4}} {
		// Four walls that don't quite meet.
		m, d := &mesh.Mesh{}, c.gap/2
		for _, w := range [4][2]r2.Vec{
			{{X: d}, {X: 10 - d}}, {{X: 10, Y: d}, {X: 10, Y: 10 - d}}, {{X: 10 - d, Y: 10}, {X: d, Y: 10}}, {{Y: 10 - d}, {Y: d}},
		} {
			n := int32(len(m.Vertices))
			for _, z := range []float64{0, 5} {
				m.Vertices = append(m.Vertices, r3.Vec{X: w[0].X, Y: w[0].Y, Z: z}, r3.Vec{X: w[1].X, Y: w[1].Y, Z: z})
			}
			m.Facets = append(m.Facets, [3]int32{n, n + 1, n + 3}, [3]int32{n, n + 3, n + 2})
		}
		sections, err := section.Sections(context.Background(), m, []float64{1, 2, 3})
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range sections {
			if len(s.Contours) != c.contours || s.Open != c.open || c.contours == 1 && math.Abs(s.Area()-100) > 0.1 {
				t.Errorf("%s: %d contours of area %v, %d open", c.name, len(s.Contours), s.Area(), s.Open)
			}
		}
		curves, err := section.Curves(context.Background(), m, &field.Field{}, []float64{1})
		if err != nil || len(curves[0].Chains) != 4 || len(curves[0].Lines) != 0 {
			t.Errorf("%s: %d chains (%v)", c.name, len(curves[0].Chains), err)
		}
	}
}

// The level set on the real part is the section of the warped one, brought back:
// the two views of one sweep must agree.
func TestCurvesAreTheSectionsOfTheWarpedMeshBroughtBack(t *testing.T) {
	m := lump(3, 16, 0)
	f := field.NewCone(math.Pi/5, true, r2.Vec{X: 4, Y: 1}, 2)
	refined, err := warp.Refine(context.Background(), m, &f, 0.05)
	if err != nil {
		t.Fatal(err)
	}
	lifted, drop := warp.Lift(refined, &f)
	var heights, values []float64
	for h := 0.5; h < 60; h += 1.7 {
		heights, values = append(heights, h), append(values, h+drop)
	}
	sections, err := section.Sections(context.Background(), lifted, heights)
	if err != nil {
		t.Fatal(err)
	}
	curves, err := section.Curves(context.Background(), refined, &f, values)
	if err != nil {
		t.Fatal(err)
	}
	for i, c := range curves {
		flat := section.Section{}
		for _, line := range c.Lines {
			var contour []r2.Vec
			for _, p := range line {
				contour = append(contour, r2.Vec{X: p.X, Y: p.Y})
				if off := math.Abs(f.Warp(p).Z - c.C); off > 0.05+1e-9 {
					t.Fatalf("%v lies %v off the shell %v", p, off, c.C)
				}
			}
			flat.Contours = append(flat.Contours, contour)
		}
		if math.Abs(flat.Area()-sections[i].Area()) > 1e-6 {
			t.Errorf("shell %v: area %v in plan, section %v", c.C, flat.Area(), sections[i].Area())
		}
	}
}

func TestResultDoesNotDependOnProcessors(t *testing.T) {
	m, heights := lump(5, 20, 0), []float64{-3, -2, -1, -0.5, 0, 0, 1, 2, 3}
	want, err := section.Sections(context.Background(), m, heights)
	if err != nil {
		t.Fatal(err)
	}
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	got, err := section.Sections(context.Background(), m, heights)
	if d := diff.Diff(want, got); d != "" || err != nil {
		t.Errorf("one processor gives other sections (%v)", err)
	}
}

func TestBadInputIsRefused(t *testing.T) {
	m, nan := form.Turned(ringProfile, 8), form.Turned(ringProfile, 8)
	nan.Vertices[3].X = math.NaN()
	for name, c := range map[string]struct {
		m       *mesh.Mesh
		heights []float64
		says    string
	}{
		"descending":  {m, []float64{1, 0.5}, "ascend"},
		"NaN height":  {m, []float64{math.NaN()}, "finite"},
		"endless":     {m, []float64{0, math.Inf(1)}, "finite"},
		"NaN corners": {nan, []float64{1}, "vertex 3"},
	} {
		if _, err := section.Sections(context.Background(), c.m, c.heights); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if s, err := section.Sections(context.Background(), m, nil); err != nil || len(s) != 0 {
		t.Errorf("no heights: %v (%v)", s, err)
	}
	if s, err := section.Sections(context.Background(), &mesh.Mesh{}, []float64{1}); err != nil || len(s) != 1 || len(s[0].Contours) != 0 {
		t.Errorf("empty mesh: %v (%v)", s, err)
	}
}
