package zone

import (
	"context"
	"errors"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/form"
	"conewright/geom/mesh"
)

// capArea returns the area of facets of an origin.
func areaOf(m *mesh.Mesh, o mesh.Origin) float64 {
	sum := 0.0
	for i := range m.Facets {
		if m.Origin(i) == o {
			a, b, c := m.Corners(i)
			sum += r3.Norm(r3.Cross(r3.Sub(b, a), r3.Sub(c, a))) / 2
		}
	}
	return sum
}

// check holds a cut to what Cut promises.
func check(t *testing.T, name string, m *mesh.Mesh, p Plane, under, over *mesh.Mesh) {
	t.Helper()
	if u, o := openEdges(under), openEdges(over); u > 0 || o > 0 {
		t.Fatalf("%s %v: %d and %d open edges", name, p, u, o)
	}
	whole, vu, vo := volume(m), volume(under), volume(over)
	if math.Abs(vu+vo-whole) > 1e-6*math.Abs(whole) {
		t.Fatalf("%s %v: volumes %g + %g = %g, want %g", name, p, vu, vo, vu+vo, whole)
	}
	q, _ := p.unit()
	for _, v := range under.Vertices {
		if d := q.distance(v); d > SnapTol+1e-9 {
			t.Fatalf("%s %v: under reaches %g over the plane", name, p, d)
		}
	}
	for _, v := range over.Vertices {
		if d := q.distance(v); d < -SnapTol-1e-9 {
			t.Fatalf("%s %v: over reaches %g under the plane", name, p, d)
		}
	}
	if a, b := areaOf(under, mesh.CapAbove), areaOf(over, mesh.CapBase); math.Abs(a-b) > 1e-9*(1+a) {
		t.Fatalf("%s %v: caps of %g and %g mm2", name, p, a, b)
	}
}

// randomPlane goes through the box of m; every other one through vertices,
// edges or facets of it.
func randomPlane(r *rand.Rand, m *mesh.Mesh) Plane {
	pick := func() r3.Vec { return m.Vertices[r.IntN(len(m.Vertices))] }
	n := r3.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()}
	switch r.IntN(8) {
	case 0: // through a vertex
		return Plane{pick(), n}
	case 1: // along an edge
		f := m.Facets[r.IntN(len(m.Facets))]
		a, b := m.Vertices[f[0]], m.Vertices[f[1]]
		return Plane{a, r3.Cross(r3.Sub(b, a), n)}
	case 2: // along a facet
		a, b, c := m.Corners(r.IntN(len(m.Facets)))
		return Plane{a, r3.Scale(float64(1-2*r.IntN(2)), r3.Cross(r3.Sub(b, a), r3.Sub(c, a)))}
	case 3: // through three vertices
		a := pick()
		return Plane{a, r3.Cross(r3.Sub(pick(), a), r3.Sub(pick(), a))}
	case 4: // level or upright, through a vertex
		k := [...]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}, {X: 1, Y: 1}}
		return Plane{pick(), k[r.IntN(len(k))]}
	}
	t := r.Float64()
	return Plane{r3.Add(r3.Scale(t, pick()), r3.Scale(1-t, pick())), n}
}

func TestRandomPlanesLeaveClosedChildrenWhoseVolumesAddUp(t *testing.T) {
	count := 10000
	if testing.Short() {
		count = 1000
	}
	all := shapes()
	names := slices.Sorted(maps.Keys(all))
	r := rand.New(rand.NewPCG(1, 2))
	missed := 0
	for i := range count {
		name := names[i%len(names)]
		m := all[name]
		if k := openEdges(m); i < len(names) && k > 0 {
			t.Fatalf("%s itself has %d open edges", name, k)
		}
		p := randomPlane(r, m)
		under, over, err := Cut(m, p)
		if errors.Is(err, ErrMisses) || errors.Is(err, ErrPlane) {
			missed++
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		check(t, name, m, p, under, over)
	}
	if missed > count/3 {
		t.Fatalf("%d of %d planes missed: the test hardly tests", missed, count)
	}
}

func TestCapsOfKnownArea(t *testing.T) {
	disc := func(n int, r float64) float64 { // regular polygon
		return float64(n) / 2 * r * r * math.Sin(2*math.Pi/float64(n))
	}
	all := shapes()
	up := r3.Vec{Z: 1}
	for _, c := range []struct {
		name  string
		mesh  *mesh.Mesh
		plane Plane
		area  float64
	}{
		{"box across", all["box"], Plane{r3.Vec{Z: 7}, up}, 200},
		{"box slanting", all["box"], Plane{r3.Vec{X: 10, Z: 15}, r3.Vec{X: -1, Z: 1}}, 200 * math.Sqrt2},
		{"in the head's underside: the stem's disc only", all["mushroom"], Plane{r3.Vec{Z: 10}, up}, disc(48, 5)},
		{"the same from above", all["mushroom"], Plane{r3.Vec{Z: 10}, r3.Vec{Z: -2}}, disc(48, 5)},
		{"a hair over it: the head's", all["mushroom"], Plane{r3.Vec{Z: 10.001}, up}, disc(48, 15)},
		{"nested islands", all["nested"], Plane{r3.Vec{Z: 19}, up}, 30*30 - 24*24 + 18*18 - 12*12},
		{"tube", all["tube"], Plane{r3.Vec{Z: 3}, up}, disc(40, 9) - disc(40, 4)},
		{"bodies that touch in an edge", all["touching edge"], Plane{r3.Vec{Z: 5}, up}, 50},
		{"where one of them ends", all["touching edge"], Plane{r3.Vec{Z: 10}, up}, 0},
	} {
		under, over, err := Cut(c.mesh, c.plane)
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		check(t, c.name, c.mesh, c.plane, under, over)
		if got := areaOf(over, mesh.CapBase); math.Abs(got-c.area) > 1e-9*(1+c.area) {
			t.Errorf("%s: cap of %g mm2, want %g", c.name, got, c.area)
		}
		if got := areaOf(over, mesh.CapAbove) + areaOf(under, mesh.CapBase); got != 0 {
			t.Errorf("%s: caps on the wrong side", c.name)
		}
	}
}

func TestHolesThatTouchOutlineAndEachOtherArePatchedExactly(t *testing.T) {
	// A block with three square channels that meet in edges: in the section
	// their corners touch each other and the outline's side.
	channel := func(x, y float64) *mesh.Mesh {
		return form.Inverted(form.Prism([]r2.Vec{{X: x - 2, Y: y}, {X: x, Y: y - 2}, {X: x + 2, Y: y}, {X: x, Y: y + 2}}, 1, 9))
	}
	m := weld(form.Joined(box(0, 0, 0, 20, 10, 10), channel(4, 5), channel(8, 5), channel(10, 3), channel(12, 5)))
	p := Plane{r3.Vec{Z: 5}, r3.Vec{Z: 1}}
	under, over, err := Cut(m, p)
	if err != nil {
		t.Fatal(err)
	}
	check(t, "channels", m, p, under, over)
	if got := areaOf(over, mesh.CapBase); math.Abs(got-(200-4*8)) > 1e-9 {
		t.Errorf("cap of %g mm2, want %g", got, 200-4*8.0)
	}
}

func TestFlatsInTheCutStaySurfaceOnTheSideOfTheirSolid(t *testing.T) {
	m := mushroom(48)
	under, over, err := Cut(m, Plane{r3.Vec{Z: 10}, r3.Vec{Z: 1}})
	if err != nil {
		t.Fatal(err)
	}
	count := func(m *mesh.Mesh) (flats int) {
		for i := range m.Facets {
			a, b, c := m.Corners(i)
			if a.Z == 10 && b.Z == 10 && c.Z == 10 && m.Origin(i) == mesh.Surface {
				flats++
			}
		}
		return flats
	}
	if u, o := count(under), count(over); u != 0 || o != 96 {
		t.Errorf("flats under %d, over %d; want 0, 96", u, o)
	}
}

func TestCutThatMissesSaysByHowMuch(t *testing.T) {
	m := box(0, 0, 0, 20, 10, 30)
	for _, c := range []struct {
		plane     Plane
		low, high float64
	}{
		{Plane{r3.Vec{Z: 31}, r3.Vec{Z: 5}}, -31, -1},
		{Plane{r3.Vec{Z: -2}, r3.Vec{Z: 1}}, 2, 32},
		{Plane{r3.Vec{Z: 30}, r3.Vec{Z: 1}}, -30, 0},
		{Plane{r3.Vec{Z: 0}, r3.Vec{Z: 1}}, 0, 30},
		{Plane{r3.Vec{X: 25}, r3.Vec{X: 1}}, -25, -5},
	} {
		_, _, err := Cut(m, c.plane)
		var miss *MissError
		if !errors.As(err, &miss) || !errors.Is(err, ErrMisses) {
			t.Fatalf("%v: %v", c.plane, err)
		}
		if diff := cmp.Diff(MissError{c.low, c.high}, *miss); diff != "" {
			t.Errorf("%v: %s", c.plane, diff)
		}
	}
	for _, p := range []Plane{{}, {Normal: r3.Vec{X: math.NaN()}}, {Point: r3.Vec{Y: math.Inf(1)}, Normal: r3.Vec{Z: 1}}} {
		if _, _, err := Cut(m, p); !errors.Is(err, ErrPlane) {
			t.Errorf("%v: %v", p, err)
		}
	}
}

func TestSplitKeepsPrintingOrderAndOrigins(t *testing.T) {
	m := form.Joined(box(0, 0, 0, 10, 10, 30), box(20, 0, 0, 30, 10, 30))
	tree := &Node{
		Cut: &Plane{r3.Vec{Z: 10}, r3.Vec{Z: 1}},
		Under: &Node{
			Cut:   &Plane{r3.Vec{X: 15}, r3.Vec{X: 1}},
			Under: &Node{Name: "left"}, Over: &Node{Name: "right"},
		},
		Over: &Node{
			Cut:   &Plane{r3.Vec{Z: 20}, r3.Vec{X: 0.1, Z: 1}},
			Under: &Node{Name: "middle"}, Over: &Node{Name: "top"},
		},
	}
	// Two whole bodies are parted by the plane between them: no cap there.
	leaves, err := Split(context.Background(), m, tree)
	if err != nil {
		t.Fatal(err)
	}
	type row struct {
		Name            string
		CapBase, CapUp  int
		Volume, OpenNum float64
	}
	var got []row
	sum := 0.0
	for _, l := range leaves {
		r := row{Name: l.Name, OpenNum: float64(openEdges(l.Mesh))}
		for i := range l.Mesh.Facets {
			switch l.Mesh.Origin(i) {
			case mesh.CapBase:
				r.CapBase++
			case mesh.CapAbove:
				r.CapUp++
			}
		}
		sum += volume(l.Mesh)
		got = append(got, r)
	}
	if math.Abs(sum-6000) > 1e-6*6000 {
		t.Errorf("volumes add up to %g, want 6000", sum)
	}
	var names []string
	for _, r := range got {
		names = append(names, r.Name)
		if r.OpenNum != 0 {
			t.Errorf("%s is open", r.Name)
		}
		if base := strings.Contains("left right", r.Name); base != (r.CapBase == 0) || (r.Name == "top") != (r.CapUp == 0) {
			t.Errorf("%s: %d base and %d upper cap facets", r.Name, r.CapBase, r.CapUp)
		}
	}
	if diff := cmp.Diff([]string{"left", "right", "middle", "top"}, names); diff != "" {
		t.Error(diff)
	}
}

func TestSplitTellsWhichCutMisses(t *testing.T) {
	tree := &Node{
		Cut:   &Plane{r3.Vec{Z: 10}, r3.Vec{Z: 1}},
		Under: &Node{Name: "a"},
		Over:  &Node{Cut: &Plane{r3.Vec{Z: 5}, r3.Vec{Z: 1}}, Under: &Node{Name: "b"}, Over: &Node{Name: "c"}},
	}
	_, err := Split(context.Background(), box(0, 0, 0, 1, 1, 20), tree)
	if !errors.Is(err, ErrMisses) || !strings.HasPrefix(err.Error(), "zones.over.cut: ") {
		t.Errorf("got %v", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Split(ctx, box(0, 0, 0, 1, 1, 20), tree); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
	if _, err := Split(context.Background(), box(0, 0, 0, 1, 1, 20), &Node{Cut: tree.Cut, Under: tree.Under}); err == nil {
		t.Error("a cut without over passed")
	}
}

func TestCutIsTheSameEachTimeAndLeavesItsInput(t *testing.T) {
	m := shapes()["nested"]
	before := &mesh.Mesh{Vertices: slices.Clone(m.Vertices), Facets: slices.Clone(m.Facets)}
	p := Plane{r3.Vec{Z: 14}, r3.Vec{X: 0.3, Y: 0.1, Z: 1}}
	u1, o1, _ := Cut(m, p)
	u2, o2, _ := Cut(m, p)
	if diff := cmp.Diff([]*mesh.Mesh{u1, o1}, []*mesh.Mesh{u2, o2}); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff(before, m); diff != "" {
		t.Error(diff)
	}
}

func BenchmarkCut(b *testing.B) {
	m := form.Torus(30, 10, 500, 100) // 100,000 facets
	b.ReportAllocs()
	for b.Loop() {
		if _, _, err := Cut(m, Plane{r3.Vec{Z: 1}, r3.Vec{X: 0.2, Z: 1}}); err != nil {
			b.Fatal(err)
		}
	}
}
