package overhang

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/field"
	"conewright/geom/form"
	"conewright/geom/mesh"
	"conewright/geom/warp"
	"conewright/geom/zone"
)

const layer = 0.5

// prism extends an outline in (x, z), counter-clockwise seen from -y, along y.
func prism(outline []r2.Vec, y0, y1 float64, fan [][3]int32) *mesh.Mesh {
	m := &mesh.Mesh{}
	n := int32(len(outline))
	for _, y := range [...]float64{y0, y1} {
		for _, p := range outline {
			m.Vertices = append(m.Vertices, r3.Vec{X: p.X, Y: y, Z: p.Y})
		}
	}
	for i := range n {
		j := (i + 1) % n
		m.Facets = append(m.Facets, [3]int32{i, n + i, j}, [3]int32{j, n + i, n + j})
	}
	for _, f := range fan {
		m.Facets = append(m.Facets, f, [3]int32{n + f[0], n + f[2], n + f[1]})
	}
	return m
}

// gate is two posts, the right one not down to the bed by lift, joined by a beam.
func gate(lift float64) *mesh.Mesh {
	o := []r2.Vec{{X: 0, Y: 0}, {X: 5, Y: 0}, {X: 5, Y: 20}, {X: 15, Y: 20}, {X: 15, Y: lift}, {X: 20, Y: lift}, {X: 20, Y: 25}, {X: 0, Y: 25}}
	return prism(o, 0, 5, [][3]int32{{0, 1, 2}, {0, 2, 7}, {2, 3, 6}, {2, 6, 7}, {3, 4, 5}, {3, 5, 6}})
}

// shelf is a tube, inside or outside of which a ring with a level underside
// begins at z = 20.
func shelf(inside bool, at r2.Vec) *mesh.Mesh {
	if inside {
		return ring([]r2.Vec{{X: 15, Y: 0}, {X: 18, Y: 0}, {X: 18, Y: 30}, {X: 8, Y: 30}, {X: 8, Y: 20}, {X: 15, Y: 20}}, 48, at)
	}
	return ring([]r2.Vec{{X: 15, Y: 0}, {X: 18, Y: 0}, {X: 18, Y: 20}, {X: 25, Y: 20}, {X: 25, Y: 30}, {X: 15, Y: 30}}, 48, at)
}

func over(t *testing.T, m *mesh.Mesh, z float64) *mesh.Mesh {
	t.Helper()
	_, o, err := zone.Cut(m, zone.Plane{Point: r3.Vec{Z: z}, Normal: r3.Vec{Z: 1}})
	if err != nil {
		t.Fatal(err)
	}
	return o
}

func cases(t *testing.T) []struct {
	name  string
	mesh  *mesh.Mesh
	field field.Field
	at    []float64 // real z of the starts wanted, ascending in z + f
} {
	axis := r2.Vec{X: 40, Y: 40}
	outward, inward := field.NewCone(45*deg, false, axis, 0), field.NewCone(45*deg, true, axis, 0)
	level := field.Field{}
	post := spindle([]r2.Vec{{X: 5, Y: 0}, {X: 5, Y: 10}, {X: 15, Y: 10}, {X: 15, Y: 14}}, 48, axis)
	cavity := box(35, 35, 5, 45, 45, 15)
	for i, f := range cavity.Facets {
		cavity.Facets[i] = [3]int32{f[0], f[2], f[1]}
	}
	hanging := func(z float64) *mesh.Mesh { // a stalactite under the lid of a pot
		return ring([]r2.Vec{{X: 15, Y: 0}, {X: 18, Y: 0}, {X: 18, Y: 30}, {X: 1, Y: 30}, {X: 1, Y: z}, {X: 4, Y: z}, {X: 4, Y: 27}, {X: 15, Y: 27}}, 48, axis)
	}
	return []struct {
		name  string
		mesh  *mesh.Mesh
		field field.Field
		at    []float64
	}{
		{"box on the bed", box(0, 0, 0, 10, 10, 10), level, nil},
		{"box on the bed, cone aside", box(0, 0, 0, 10, 10, 10), outward, nil},
		{"floating box, a flat counts once", box(0, 0, 3, 10, 10, 10), level, []float64{3}},
		{"floating by less than half a layer", box(0, 0, 0.14, 10, 10, 10), level, nil},
		{"speck lower than half a layer", form.Joined(box(0, 0, 0, 5, 5, 5), box(10, 0, 3, 11, 1, 3.1)), level, nil},
		{"gate", gate(0), level, nil},
		{"gate with a short post", gate(8), level, []float64{8}},
		{"gate with a post that is off the bed by a hair", gate(0.1), level, nil},
		{"cavity: its floor is no start", form.Joined(box(30, 30, 0, 50, 50, 20), cavity), level, nil},
		{"cavity, cone", form.Joined(box(30, 30, 0, 50, 50, 20), cavity), inward, nil},
		{"body in a cavity", form.Joined(box(30, 30, 0, 50, 50, 20), cavity, box(38, 38, 8, 42, 42, 12)), level, []float64{8}},
		{"body that begins inside another", form.Joined(box(0, 0, 0, 10, 10, 10), box(2, 2, 5, 8, 8, 20)), level, nil},
		{"body that stands on another", form.Joined(box(0, 0, 0, 10, 10, 10), box(2, 2, 10, 8, 8, 20)), level, nil},
		{"post, level: an overhang, not a start", post, level, nil},
		{"post, outward cone carries the head", post, outward, nil},
		{"post, inward cone begins at the head's rim, a ring once", post, inward, []float64{10}},
		{"head over a cut in its underside, inward", over(t, post, 10), inward, []float64{10}},
		{"head over a cut in its underside, outward", over(t, post, 10), outward, nil},
		{"head over a cut through it, inward", over(t, post, 12), inward, nil},
		{"stalactite", hanging(12), level, []float64{12}},
		{"stalactite, outward cone: its foot, not the lid", hanging(12), outward, []float64{12}},
		{"stalactite lower than half a layer", hanging(26.9), level, nil},
		// Common practice, no source: these four.
		{"outward cone, shelf outside", shelf(false, axis), outward, nil},
		{"outward cone, shelf inside", shelf(true, axis), outward, []float64{20}},
		{"inward cone, shelf outside", shelf(false, axis), inward, []float64{20}},
		{"inward cone, shelf inside", shelf(true, axis), inward, nil},
	}
}

func TestMidairStarts(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 9))
	for _, c := range cases(t) {
		for _, size := range []float64{0, 1e-5} {
			m := noisy(c.mesh, size, r)
			if size == 0 {
				m = fine(m, 3)
			} else if refined, err := warp.Refine(context.Background(), m, &c.field, 0.02); err != nil {
				t.Fatal(err)
			} else {
				m = refined
			}
			got := MidairStarts(m, &c.field, nil, layer)
			if len(got) != len(c.at) {
				t.Errorf("%s, noise %g: %+v, want starts at %v", c.name, size, got, c.at)
				continue
			}
			for i, s := range got {
				if math.Abs(s.At.Z-c.at[i]) > 1e-4 {
					t.Errorf("%s, noise %g: start at %v, want z = %g", c.name, size, s.At, c.at[i])
				}
			}
		}
	}
}

func TestRiseIsTheHeightToTheMerger(t *testing.T) {
	level := field.Field{}
	got := MidairStarts(gate(8), &level, nil, layer)
	if len(got) != 1 || math.Abs(got[0].Rise-12) > 1e-9 || !got[0].Merges {
		t.Errorf("short post: %+v, want a rise of 12 mm to the beam", got)
	}
	got = MidairStarts(box(0, 0, 3, 10, 10, 10), &level, nil, layer)
	if len(got) != 1 || math.Abs(got[0].Rise-7) > 1e-9 || got[0].Merges {
		t.Errorf("floating box: %+v, want a rise of 7 mm to its own top", got)
	}
}

// randomSolid is a random solid of revolution: steps in and out, undersides
// and tops level or slanting, sometimes hollow, sometimes with a second body.
func randomSolid(r *rand.Rand) *mesh.Mesh {
	at := r2.Vec{X: 50 + 5*r.Float64(), Y: 50 + 5*r.Float64()}
	hollow := 0.0
	if r.IntN(2) == 0 {
		hollow = 4 + 6*r.Float64()
	}
	var outer, inner []r2.Vec
	wall := func(base, least float64, sign float64) []r2.Vec {
		var p []r2.Vec
		z, rr := 0.0, base
		for range 2 + r.IntN(3) {
			p = append(p, r2.Vec{X: rr, Y: z})
			z += 3 + 5*r.Float64()
			p = append(p, r2.Vec{X: rr, Y: z})
			rr = base + sign*(least+9*r.Float64())
			z += float64(r.IntN(2)) * 4 * r.Float64()
		}
		return p
	}
	if hollow == 0 {
		p := wall(4+8*r.Float64(), -3, 1)
		return spindle(p, 40, at)
	}
	outer = wall(hollow+10, -3, 1)
	inner = wall(hollow, 0, -0.4)
	top := 1 + math.Max(outer[len(outer)-1].Y, inner[len(inner)-1].Y)
	outer[len(outer)-1].Y, inner[len(inner)-1].Y = top, top
	p := outer
	for i := range inner {
		p = append(p, inner[len(inner)-1-i])
	}
	return ring(p, 40, at)
}

func TestBothMethodsAgreeOnSolidsOfRevolution(t *testing.T) {
	count := 200
	if testing.Short() || underRace {
		count = 20
	}
	r := rand.New(rand.NewPCG(11, 12))
	some := 0
	for i := range count {
		f := &field.Field{}
		m := fine(randomSolid(r), 5)
		if r.IntN(5) > 0 {
			cone := field.NewCone((20+30*r.Float64())*deg, r.IntN(2) == 0, r2.Vec{X: 50 + 5*r.Float64(), Y: 50 + 5*r.Float64()}, float64(r.IntN(2)))
			f = &cone
		}
		if compare(t, i, m, f) > 0 {
			some++
		}
		noise := noisy(m, 1e-5, r)
		if a, b := MidairStarts(m, f, nil, layer), MidairStarts(noise, f, nil, layer); len(a) != len(b) {
			t.Errorf("%d: noise turns %d starts into %d", i, len(a), len(b))
		}
	}
	if some < count/5 {
		t.Errorf("only %d of %d solids had starts: the test hardly tests", some, count)
	}
}

// compare holds the two methods against each other and returns how many starts
// there are. A start that merges within two shells may slip between them, and a
// brief region may be a minimum that rises too little to count; all others must
// be seen both ways, within two shells.
func compare(t *testing.T, i int, m *mesh.Mesh, f *field.Field) int {
	t.Helper()
	base := zone.NewBase(m)
	starts := MidairStarts(m, f, base, layer)
	all := MidairStarts(m, f, base, 2*noise)
	sections := sectionsOf(m, f, layer)
	regions, err := RegionStarts(sections, f, base)
	if err != nil {
		t.Errorf("%d: %v", i, err)
		return 0
	}
	same := func(s Start, g RegionStart) bool {
		d := sections[g.Shell].Height - s.Height
		return d > 0 && d < 2*layer && near(s, g, 2*layer/math.Max(f.Slope(), 0.1))
	}
	for _, s := range starts {
		found := s.Rise < 2*layer
		for _, g := range regions {
			found = found || !g.Brief && same(s, g)
		}
		if !found {
			t.Errorf("%d %+v: start %+v isn't seen by regions", i, *f, s)
		}
	}
	for _, g := range regions {
		found := false
		among := starts
		if g.Brief {
			among = all
		}
		for _, s := range among {
			found = found || same(s, g)
		}
		if !found {
			t.Errorf("%d %+v: region of %g mm2 at %v, z + f = %g, brief %v, isn't seen by starts %+v", i, *f, g.Area, g.At, sections[g.Shell].Height, g.Brief, among)
		}
	}
	return len(starts)
}

// near reports whether the start lies in the region's outline or by it.
func near(s Start, g RegionStart, by float64) bool {
	p := r2.Vec{X: s.At.X, Y: s.At.Y}
	turn := 0.0
	for k, a := range g.Outline {
		b := g.Outline[(k+1)%len(g.Outline)]
		if r2.Norm(r2.Sub(a, p)) < by+5 { // the mesh's sides are up to 5 mm
			return true
		}
		turn += math.Atan2(r2.Cross(r2.Sub(a, p), r2.Sub(b, p)), r2.Dot(r2.Sub(a, p), r2.Sub(b, p)))
	}
	return math.Abs(turn) > 1
}

func TestSectionsOfTheTestHoldTheVolume(t *testing.T) {
	m := fine(spindle([]r2.Vec{{X: 5, Y: 0}, {X: 5, Y: 10}, {X: 15, Y: 10}, {X: 15, Y: 14}}, 48, r2.Vec{}), 2)
	f := field.NewCone(30*deg, true, r2.Vec{X: 2}, 0)
	sum := 0.0
	for _, s := range sectionsOf(m, &f, 0.05) {
		sum += area(s.Contours) * 0.05
	}
	// Volume of a solid of revolution with 48 sides (Pappus and Guldin for the round one).
	want := 24 * math.Sin(2*math.Pi/48) * (25*10 + 225*4)
	if math.Abs(sum-want) > 0.01*want {
		t.Errorf("volume by sections %g, want %g", sum, want)
	}
}

func BenchmarkMidairStarts(b *testing.B) {
	m := bigPart()
	f := field.NewCone(45*deg, false, r2.Vec{X: 110, Y: 95}, 0)
	base := zone.NewBase(m)
	for b.Loop() {
		MidairStarts(m, &f, base, layer)
	}
}

// A rim that hangs down to the height at which the stem is cut: it touches the
// base nowhere, though its lowest place is as low, and begins in mid-air.
func TestRimAsLowAsTheBaseBeginsInMidAir(t *testing.T) {
	m := spindle([]r2.Vec{{X: 7, Y: 0}, {X: 7, Y: 30}, {X: 22, Y: 30}, {X: 22, Y: 22}, {X: 25, Y: 22}, {X: 25, Y: 35}}, 64, r2.Vec{X: 50, Y: 50})
	_, over, err := zone.Cut(m, zone.Plane{Point: r3.Vec{Z: 22}, Normal: r3.Vec{Z: 1}})
	if err != nil {
		t.Fatal(err)
	}
	if starts := MidairStarts(over, &field.Field{}, nil, 0.2); len(starts) != 1 {
		t.Errorf("%d starts, want the rim's one: %v", len(starts), starts)
	}
}
