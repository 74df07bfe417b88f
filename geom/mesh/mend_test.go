package mesh

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// sound are meshes that must come back as they are.
func sound() map[string]*Mesh {
	return map[string]*Mesh{
		"box":    box(0, 0, 0, 20, 10, 30),
		"torus":  torus(20, 5, 40, 16),
		"hollow": join(box(0, 0, 0, 9, 9, 9), inverted(box(1, 1, 1, 8, 8, 8))),
		"body in a hollow body, hollow too": join(box(0, 0, 0, 9, 9, 9), inverted(box(1, 1, 1, 8, 8, 8)),
			torus(2, 1, 20, 10).Translate(r3.Vec{X: 4.5, Y: 4.5, Z: 4.5}), inverted(torus(2, 0.5, 20, 10)).Translate(r3.Vec{X: 4.5, Y: 4.5, Z: 4.5})),
		"two":                  join(box(0, 0, 0, 5, 5, 40), box(20, 0, 0, 25, 5, 30)),
		"through each other":   join(box(0, 0, 0, 10, 10, 10), box(4, 4, 4, 14, 14, 14)),
		"beam through a post":  join(box(0, 0, 0, 10, 10, 40), box(-20, 4, 20, 30, 6, 22)),
		"sheet of a hundredth": box(0, 0, 0, 200, 0.01, 200),
		"finer than any weld":  join(box(0, 0, 0, 200, 200, 200), torus(1e-3, 2e-4, 12, 8).Translate(r3.Vec{X: 300})),
		"links of a chain":     join(torus(12, 3, 30, 12), torus(12, 3, 30, 12).Turn([3]float64{90, 0, 0}).Translate(r3.Vec{X: 12})),
	}
}

func TestMendLeavesSoundMeshesAlone(t *testing.T) {
	for name, m := range sound() {
		got, did := m.Mend()
		if did.Any() {
			t.Errorf("%s: %v", name, did)
		}
		if d := cmp.Diff(m, got); d != "" {
			t.Errorf("%s changed:\n%s", name, d)
		}
		if h := m.Check(); !h.Sound() {
			t.Errorf("%s: %v", name, h)
		}
	}
}

func TestMendRepairs(t *testing.T) {
	cube := box(0, 0, 0, 10, 10, 10)
	tube := ring([]r2.Vec{{X: 5, Y: 0}, {X: 5, Y: 30}, {X: 6, Y: 30}, {X: 6, Y: 0}}, 64)
	open := &Mesh{Vertices: tube.Vertices} // the tube's lower end left out
	for _, f := range tube.Facets {
		low := 0
		for _, v := range f {
			if tube.Vertices[v].Z == 0 {
				low++
			}
		}
		if low < 3 {
			open.Facets = append(open.Facets, f)
		}
	}
	for _, c := range []struct {
		name   string
		m      *Mesh
		did    Mending
		volume float64
	}{
		{"facet turned over", &Mesh{Vertices: cube.Vertices, Facets: append([][3]int32{{0, 3, 2}}, cube.Facets[1:]...)}, Mending{Turned: 1}, 1000},
		{"inside out", inverted(cube), Mending{Turned: 12}, 1000},
		{"cavity turned outward", join(cube, box(2, 2, 2, 8, 8, 8)), Mending{Turned: 12}, 1000 - 216},
		{"second body inside out", join(cube, inverted(box(20, 0, 0, 21, 1, 1))), Mending{Turned: 12}, 1001},
		{"facet missing", without(cube, 3), Mending{Holes: 1, Filled: 1}, 1000},
		{"side missing", without(cube, 2, 3), Mending{Holes: 1, Filled: 2}, 1000},
		{"two holes", without(torus(20, 5, 40, 16), 5, 100, 101), Mending{Holes: 2, Filled: 3}, torus(20, 5, 40, 16).Volume()},
		{"flat end missing", open, Mending{Holes: 2, Filled: 2*64 - 4}, math.NaN()},
		{"facet twice", &Mesh{Vertices: cube.Vertices, Facets: append([][3]int32{cube.Facets[4]}, cube.Facets...)}, Mending{Doubled: 1}, 1000},
		{"facet twice, once turned", &Mesh{Vertices: cube.Vertices, Facets: append([][3]int32{{0, 3, 2}}, cube.Facets...)}, Mending{Doubled: 2, Holes: 1, Filled: 1}, 1000},
		{"wall between two halves", join(box(0, 0, 0, 5, 10, 10), box(5, 0, 0, 10, 10, 10)), Mending{}, 1000},
		{"degenerate facet", &Mesh{Vertices: cube.Vertices, Facets: append([][3]int32{{1, 1, 5}}, cube.Facets...)}, Mending{Degenerate: 1}, 1000},
		{"corners a thousandth apart", shattered(cube, 1e-3), Mending{Welded: 28}, 1000},
	} {
		t.Run(c.name, func(t *testing.T) {
			if c.m.Check().Sound() && c.did.Any() {
				t.Error("Check sees nothing wrong")
			}
			got, did := c.m.Mend()
			if c.did.Any() && did != c.did {
				t.Errorf("did %v; want %v", did, c.did)
			}
			if h := got.Check(); h.OpenEdges+h.Flipped+h.Degenerate+h.Doubled+h.NonManifoldEdges != 0 {
				t.Errorf("still %v", h)
			}
			if !math.IsNaN(c.volume) {
				near(t, "volume", got.Volume(), c.volume, 1e-3*c.volume)
			}
			if again, did := got.Mend(); did.Any() || !cmp.Equal(got, again) {
				t.Errorf("a second mending did %v", did)
			}
		})
	}
}

func TestMendDoesNotGuess(t *testing.T) {
	torn := &Mesh{} // a ring without the upper half of one half
	full := torus(20, 5, 60, 30)
	torn.Vertices = full.Vertices
	for i, f := range full.Facets {
		if i >= len(full.Facets)/2 || i%60 >= 30 {
			torn.Facets = append(torn.Facets, f)
		}
	}
	for name, m := range map[string]*Mesh{
		"large bent hole": torn,
		"flat sheet":      {Vertices: box(0, 0, 0, 1, 1, 1).Vertices, Facets: box(0, 0, 0, 1, 1, 1).Facets[:2]},
		"one facet":       {Vertices: box(0, 0, 0, 1, 1, 1).Vertices, Facets: box(0, 0, 0, 1, 1, 1).Facets[:1]},
	} {
		got, did := m.Mend()
		if did.Holes != 0 || got.Check().OpenEdges == 0 {
			t.Errorf("%s: %v", name, did)
		}
	}
}

// A part with a row of short edges against one long edge is open, though no
// gap can be seen: the fan closes it without moving anything.
func TestMendClosesRowsOfEdgesAgainstOneLongEdge(t *testing.T) {
	m := box(0, 0, 0, 10, 10, 10)
	// Cut the facet (0, 2, 3) along its side from 0 to 2 only.
	m.Vertices = append(m.Vertices, r3.Vec{Y: 3}, r3.Vec{Y: 7})
	m.Facets = append([][3]int32{{0, 8, 3}, {8, 9, 3}, {9, 2, 3}}, m.Facets[1:]...)
	got, did := m.Mend()
	if want := (Mending{Holes: 1, Filled: 2}); did != want {
		t.Errorf("did %v, want %v", did, want)
	}
	if h := got.Check(); !h.Sound() {
		t.Error(h)
	}
	near(t, "volume", got.Volume(), 1000, 1e-9)
}

// Whatever is done to a torus, mending makes it sound again, or says that it
// isn't; and it never changes its input.
func TestMendedMeshesAreSound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		seed := rapid.Uint64().Draw(t, "seed")
		r := rand.New(rand.NewPCG(seed, 1))
		m := torus(20, 5, 16, 10)
		want := m.Volume()
		facets := append([][3]int32{}, m.Facets...)
		for range rapid.IntRange(0, 10).Draw(t, "flips") {
			i := r.IntN(len(facets))
			facets[i][0], facets[i][1] = facets[i][1], facets[i][0]
		}
		for range rapid.IntRange(0, 5).Draw(t, "doubles") {
			facets = append(facets, facets[r.IntN(len(facets))])
		}
		for range rapid.IntRange(0, 2).Draw(t, "holes") { // more could meet in one that is too large to close
			i := r.IntN(len(facets))
			facets = append(facets[:i], facets[i+1:]...)
		}
		r.Shuffle(len(facets), func(i, j int) { facets[i], facets[j] = facets[j], facets[i] })
		broken := shattered(&Mesh{Vertices: m.Vertices, Facets: facets}, 1e-3)
		copied := append([]r3.Vec{}, broken.Vertices...)
		got, did := broken.Mend()
		if h := got.Check(); !h.Sound() || h.Bodies != 1 {
			t.Fatalf("%v after %v", h, did)
		}
		if math.Abs(got.Volume()-want) > 2e-3*want {
			t.Fatalf("volume %v, want %v", got.Volume(), want)
		}
		if !slices.Equal(copied, broken.Vertices) {
			t.Fatal("the input was changed")
		}
	})
}

func TestCheckCounts(t *testing.T) {
	cube := box(0, 0, 0, 10, 10, 10)
	for _, c := range []struct {
		name string
		m    *Mesh
		want Health
	}{
		{"sound", cube, Health{Bodies: 1}},
		{"hole", without(cube, 0), Health{OpenEdges: 3, Bodies: 1}},
		{"two, touching along an edge", join(cube, box(10, 10, 0, 20, 20, 10)).Weld(0), Health{NonManifoldEdges: 1, Bodies: 2}},
		{"unwelded", shattered(cube, 0), Health{OpenEdges: 36, Bodies: 12}},
		{"inside out", inverted(cube), Health{Flipped: 12, Bodies: 1}},
	} {
		if got := c.m.Check(); got != c.want {
			t.Errorf("%s: %+v, want %+v", c.name, got, c.want)
		}
	}
}

func TestWeldJoinsWhatIsNear(t *testing.T) {
	m := shattered(box(0, 0, 0, 10, 10, 10), 1e-3)
	if got := m.Weld(2e-3); len(got.Vertices) != 8 || !got.Check().Sound() {
		t.Errorf("%d vertices, %v", len(got.Vertices), got.Check())
	}
	if got := m.Weld(0); len(got.Vertices) != 36 {
		t.Errorf("%d vertices", len(got.Vertices))
	}
	// Steps shorter than the tolerance don't run together.
	row := &Mesh{}
	for i := range int32(100) {
		row.Vertices = append(row.Vertices, r3.Vec{X: float64(i)}, r3.Vec{X: float64(i), Y: 50})
		row.Facets = append(row.Facets, [3]int32{2 * i, 2 * i, 2*i + 1})
	}
	if got := row.Weld(1.5); len(got.Vertices) < 80 {
		t.Errorf("a row of 100 shrank to %d", len(got.Vertices)/2)
	}
}

// The adjacency against one by maps.
func TestAdjacentAgreesWithMaps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := &Mesh{Vertices: make([]r3.Vec, 9)}
		corner := rapid.Int32Range(0, 8)
		for range rapid.IntRange(0, 40).Draw(t, "facets") {
			m.Facets = append(m.Facets, [3]int32{corner.Draw(t, "a"), corner.Draw(t, "b"), corner.Draw(t, "c")})
		}
		sides := map[[2]int32][]int32{}
		for h := range int32(3 * len(m.Facets)) {
			a, b := m.Ends(h)
			k := [2]int32{min(a, b), max(a, b)}
			sides[k] = append(sides[k], h)
		}
		adj := m.Adjacent()
		if adj.Edges != len(sides) {
			t.Fatalf("%d edges, want %d", adj.Edges, len(sides))
		}
		for _, group := range sides {
			for _, h := range group {
				want := int32(Many)
				if len(group) == 1 {
					want = Open
				}
				if len(group) == 2 {
					want = group[0] + group[1] - h
				}
				if adj.Twin[h] != want || adj.Edge[h] != adj.Edge[group[0]] {
					t.Fatalf("half-edge %d: twin %d, want %d", h, adj.Twin[h], want)
				}
			}
		}
	})
}

// What is written is closed, whatever float32 makes of the coordinates.
func TestWrittenFilesStayClosed(t *testing.T) {
	for name, m := range map[string]*Mesh{
		"far away":           torus(20, 5, 120, 60).Translate(r3.Vec{X: 9e5, Y: 9e5}),
		"tiny":               torus(2e-3, 5e-4, 120, 60).Translate(r3.Vec{X: 125, Y: 105}),
		"crushed to nothing": box(0, 0, 0, 1e-9, 1, 1).Translate(r3.Vec{X: 100}),
		"thirds":             torus(20.0/3, 5.0/3, 64, 32),
	} {
		var buf bytes.Buffer
		if err := WriteSTL(&buf, m); err != nil {
			t.Fatal(err)
		}
		if bytes.HasPrefix(buf.Bytes(), []byte("solid")) || buf.Len() < 84 {
			t.Errorf("%s: bad header", name)
		}
		if buf.Len() == 84 { // nothing left; a reader says so
			continue
		}
		got, err := read(buf.Bytes(), "a.stl", ReadOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if h := got.Check(); h.OpenEdges+h.Degenerate+h.Doubled != 0 {
			t.Errorf("%s: %v", name, h)
		}
		want := m.Rounded()
		for i := range want.Facets {
			a, b, c := want.Corners(i)
			if x, y, z := got.Corners(i); a != x || b != y || c != z {
				t.Fatalf("%s: facet %d read back differs from Rounded", name, i)
			}
		}
	}
}

func TestOriginsFollowTheirFacets(t *testing.T) {
	m := box(0, 0, 0, 10, 10, 10)
	m.Facets = append([][3]int32{{1, 1, 5}}, m.Facets...)
	m.Origins = make([]Origin, len(m.Facets))
	m.Origins[3] = CapBase
	got, _ := m.Mend()
	if len(got.Origins) != 12 || got.Origin(2) != CapBase || got.Origin(3) != Surface {
		t.Errorf("origins %v", got.Origins)
	}
}

func ExampleMesh_Mend() {
	broken := without(box(0, 0, 0, 10, 10, 10), 3) // a facet is missing
	fmt.Println(broken.Check())
	mended, did := broken.Mend()
	fmt.Println(did)
	fmt.Printf("%v, %.3f mm3\n", mended.Check().Sound(), mended.Volume())
	// Output:
	// 3 open edges, 1 bodies
	// 1 holes closed, 1 facets added
	// true, 1000.000 mm3
}
