package zone

import (
	"context"
	"errors"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/form"
	"conewright/geom/mesh"
)

// fork is a V 10 thick and 30 high: two prongs from z = 5 on, mirrored about
// x = 20. The right one reaches from x = 25.6 to 39 at z = 12 and ends 5 wide.
func fork() *mesh.Mesh {
	outline := []r2.Vec{{X: 20}, {X: 35}, {X: 45, Y: 30}, {X: 40, Y: 30}, {X: 20, Y: 5}, {Y: 30}, {X: -5, Y: 30}, {X: 5}}
	m := form.Prism(outline, -10, 0)
	for i, v := range m.Vertices {
		m.Vertices[i] = r3.Vec{X: v.X, Y: -v.Z, Z: v.Y} // laid up: y becomes the height
	}
	return m
}

func TestACutLimitedToOneProngLeavesTheOtherWhole(t *testing.T) {
	up := Plane{r3.Vec{Z: 12}, r3.Vec{Z: 1}}
	const foot, prong = 13.4 * 10, (13.4 + 5) / 2 * 18 * 10 // mm2, mm3
	for _, c := range []struct {
		name   string
		only   r3.Vec
		x0, x1 float64 // of the prong that is cut off
	}{
		{"in the left one", r3.Vec{X: 5, Y: 5, Z: 20}, -5, 14.4},
		{"in the right one", r3.Vec{X: 35, Y: 5, Z: 20}, 25.6, 45},
		{"between, nearer to the right", r3.Vec{X: 20.1, Y: 5, Z: 20}, 25.6, 45},
		{"under the plane", r3.Vec{X: 2, Y: 5, Z: 3}, -5, 14.4},
		{"far off", r3.Vec{X: 900, Y: -80, Z: 3}, 25.6, 45},
	} {
		m := fork()
		under, over, err := CutOnly(m, up, c.only)
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		if u, o := openEdges(under), openEdges(over); u != 0 || o != 0 {
			t.Errorf("%s: %d and %d open edges", c.name, u, o)
		}
		if got, want := volume(over), float64(prong); math.Abs(got-want) > 1e-9 {
			t.Errorf("%s: over has %g mm3, want %g", c.name, got, want)
		}
		if got, want := volume(under), volume(m)-prong; math.Abs(got-want) > 1e-9 {
			t.Errorf("%s: under has %g mm3, want %g", c.name, got, want)
		}
		box := over.Bounds()
		if math.Abs(box.Min.X-c.x0) > 1e-9 || math.Abs(box.Max.X-c.x1) > 1e-9 || box.Min.Z != 12 {
			t.Errorf("%s: over lies in %v", c.name, box)
		}
		if top := under.Bounds().Max.Z; top != 30 {
			t.Errorf("%s: the other prong ends at %g", c.name, top)
		}
		if a, b := areaOf(over, mesh.CapBase), areaOf(under, mesh.CapAbove); math.Abs(a-foot) > 1e-9 || math.Abs(b-foot) > 1e-9 {
			t.Errorf("%s: caps of %g and %g mm2, want 134: the other prong has none", c.name, a, b)
		}
	}
}

// What CutOnly takes off is one of the pieces that Cut finds, found here another
// way: by bodies of Cut's own result.
func TestRandomLimitedCutsLeaveClosedChildren(t *testing.T) {
	count := 4000
	if testing.Short() {
		count = 400
	}
	all := shapes()
	all["fork"] = fork()
	names := slices.Sorted(maps.Keys(all))
	r := rand.New(rand.NewPCG(5, 6))
	missed := 0
	for i := range count {
		name := names[i%len(names)]
		m := all[name]
		p := randomPlane(r, m)
		only := r3.Add(m.Vertices[r.IntN(len(m.Vertices))], r3.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()})
		under, over, err := CutOnly(m, p, only)
		if errors.Is(err, ErrMisses) || errors.Is(err, ErrPlane) {
			missed++
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		if u, o := openEdges(under), openEdges(over); u > 0 || o > 0 {
			t.Fatalf("%s %v %v: %d and %d open edges", name, p, only, u, o)
		}
		whole, vu, vo := volume(m), volume(under), volume(over)
		if math.Abs(vu+vo-whole) > 1e-6*math.Abs(whole) {
			t.Fatalf("%s %v %v: volumes %g + %g, want %g", name, p, only, vu, vo, whole)
		}
		q, _ := p.unit()
		for _, v := range over.Vertices {
			if d := q.distance(v); d < -SnapTol-1e-9 {
				t.Fatalf("%s %v %v: over reaches %g under the plane", name, p, only, d)
			}
		}
		if a, b := areaOf(under, mesh.CapAbove), areaOf(over, mesh.CapBase); math.Abs(a-b) > 1e-9*(1+a) {
			t.Fatalf("%s %v %v: caps of %g and %g mm2", name, p, only, a, b)
		}
		if _, cut, err := Cut(m, p); err == nil {
			if _, n := cut.Bodies(mesh.ByEdge); n == 1 && math.Abs(volume(cut)-vo) > 1e-6*math.Abs(whole) {
				t.Fatalf("%s %v %v: the one piece over the plane has %g mm3, %g were taken", name, p, only, volume(cut), vo)
			}
		}
	}
	if missed > count/2 {
		t.Fatalf("%d of %d planes missed: the test hardly tests", missed, count)
	}
}

func TestACavityGoesWithThePieceRoundIt(t *testing.T) {
	block := func(x float64) *mesh.Mesh {
		return form.Joined(box(x, 0, 0, x+20, 20, 30), form.Inverted(box(x+5, 5, 15, x+15, 15, 25)))
	}
	m := form.Joined(block(0), block(50))
	under, over, err := CutOnly(m, Plane{r3.Vec{Z: 10}, r3.Vec{Z: 1}}, r3.Vec{X: 60, Y: 10, Z: 20}) // in the cavity
	if err != nil {
		t.Fatal(err)
	}
	if got, want := volume(over), 20.0*20*20-1000; math.Abs(got-want) > 1e-9 {
		t.Errorf("over has %g mm3, want %g", got, want)
	}
	if got, want := volume(under), 20.0*20*30-1000+20*20*10; math.Abs(got-want) > 1e-9 {
		t.Errorf("under has %g mm3, want %g", got, want)
	}
}

func TestALimitedCutAtTheBedPartsWholeBodies(t *testing.T) {
	m := form.Joined(box(0, 0, 0, 10, 10, 30), box(20, 0, 0, 30, 10, 40))
	bed := Plane{r3.Vec{}, r3.Vec{Z: 1}}
	under, over, err := CutOnly(m, bed, r3.Vec{X: 25, Y: 5, Z: 1})
	if err != nil {
		t.Fatal(err)
	}
	if u, o, foot := volume(under), volume(over), areaOf(over, mesh.CapBase); math.Abs(u-3000) > 1e-9 || math.Abs(o-4000) > 1e-9 || foot != 0 {
		t.Errorf("volumes %g and %g, a cap of %g mm2", u, o, foot)
	}
	for _, c := range []struct {
		name  string
		mesh  *mesh.Mesh
		plane Plane
	}{
		{"one body over the plane alone", box(0, 0, 0, 10, 10, 30), bed},
		{"nothing over it", m, Plane{r3.Vec{Z: 50}, r3.Vec{Z: 1}}},
	} {
		if _, _, err := CutOnly(c.mesh, c.plane, r3.Vec{}); !errors.Is(err, ErrMisses) {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

func TestSplitTakesTheLimitOfACut(t *testing.T) {
	only := r3.Vec{X: 38, Y: 5, Z: 20}
	leaves, err := Split(context.Background(), fork(), &Node{
		Cut: &Plane{r3.Vec{Z: 12}, r3.Vec{Z: 1}}, Only: &only, Under: &Node{Name: "rest"}, Over: &Node{Name: "prong"},
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(leaves) != 2 || math.Abs(volume(leaves[1].Mesh)-1656) > 1e-9 {
		t.Errorf("%d leaves, the last of %g mm3", len(leaves), volume(leaves[1].Mesh))
	}
}
