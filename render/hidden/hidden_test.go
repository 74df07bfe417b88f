package hidden_test

import (
	"math"
	"math/rand"
	"runtime"
	"testing"

	"conewright/geom/form"
	"conewright/geom/mesh"
	"conewright/render/contour"
	"conewright/render/depth"
	"conewright/render/hidden"
	"conewright/render/internal/shape"
	"conewright/render/solid"

	"github.com/fogleman/ln/ln"
	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// everyFacet is brute force: the ray from p toward the viewer against each of
// ln's triangles.
type everyFacet []*ln.Triangle

func newEveryFacet(m *mesh.Mesh) everyFacet {
	var all everyFacet
	for i := range m.Facets {
		a, b, c := m.Corners(i)
		all = append(all, ln.NewTriangle(ln.Vector(a), ln.Vector(b), ln.Vector(c)))
	}
	return all
}

func (all everyFacet) sees(p, toward ln.Vector) bool {
	ray := ln.Ray{Origin: p.Add(toward.MulScalar(1.4e-3)), Direction: toward}
	for _, t := range all {
		if t.Intersect(ray).Ok() {
			return false
		}
	}
	return true
}

// lines returns creases, silhouettes and level lines of a solid.
func lines(s *solid.Solid, toward r3.Vec) []hidden.Path {
	var paths []hidden.Path
	for _, c := range append(s.Creases(), s.Silhouettes(toward)...) {
		paths = append(paths, hidden.Path{Points: c.Points, Normals: c.Normals})
	}
	values := make([]float64, len(s.Mesh.Vertices))
	for i, v := range s.Mesh.Vertices {
		values[i] = v.Z + math.Hypot(v.X, v.Y)
	}
	var levels []float64
	for z := -60.03; z < 120; z += 2.5 {
		levels = append(levels, z)
	}
	for _, l := range contour.Lines(s.Mesh, values, levels) {
		p := hidden.Path{Points: l.Points, InFacets: true}
		for _, f := range l.Facets {
			p.Normals = append(p.Normals, s.Normals[f])
		}
		paths = append(paths, p)
	}
	return paths
}

// TestAnswersAgreeWithBruteForce asks every facet about points on stretches
// that came out visible or hidden.
func TestAnswersAgreeWithBruteForce(t *testing.T) {
	samples := 10_000
	if testing.Short() {
		samples = 3_000
	}
	look := hidden.Look{Toward: r3.Unit(r3.Vec{X: 0.61, Y: -0.83, Z: 0.47}), Step: 0.3, Precision: 0.005}
	for name, m := range map[string]*mesh.Mesh{
		"knot":    shape.Knot(r3.Vec{Z: 20}, 30, 2500),
		"bollard": shape.Bollard(r2.Vec{}, 60),
		"boxes":   form.Joined(form.Box(r3.Vec{X: -9, Y: -9}, r3.Vec{X: 9, Y: 9, Z: 30}), form.Box(r3.Vec{X: 11, Y: -5, Z: 8}, r3.Vec{X: 30, Y: 5, Z: 16})),
	} {
		s, all := solid.New(m), newEveryFacet(m)
		for _, look.Depths = range []*depth.Map{nil, depths(s, look)} {
			rng := rand.New(rand.NewSource(7))
			var visible, hid ln.Paths
			for _, p := range hidden.Split(s, lines(s, look.Toward), look) {
				visible, hid = append(visible, p.Visible...), append(hid, p.Hidden...)
			}
			wrong := 0
			for i := range samples {
				paths, want := visible, true
				if i%2 == 1 {
					paths, want = hid, false
				}
				if all.sees(randomPoint(rng, paths), ln.Vector(look.Toward)) != want {
					wrong++
				}
			}
			if share := float64(wrong) / float64(samples); share > 0.001 {
				t.Errorf("%s (with depths: %v): %d of %d points answered wrongly", name, look.Depths != nil, wrong, samples)
			} else {
				t.Logf("%s (with depths: %v): %d of %d points answered wrongly", name, look.Depths != nil, wrong, samples)
			}
		}
	}
}

// depths returns the depths of a solid in cells of half a step, as a sheet takes
// them.
func depths(s *solid.Solid, look hidden.Look) *depth.Map {
	right := r3.Unit(r3.Cross(r3.Vec{Z: 1}, look.Toward))
	reach := s.Radius + r3.Norm(s.Min) + r3.Norm(s.Max)
	d := depth.New(depth.View{Right: right, Up: r3.Cross(look.Toward, right), Toward: look.Toward,
		Min: r2.Vec{X: -reach, Y: -reach}, Max: r2.Vec{X: reach, Y: reach}, Cell: look.Step / 2})
	d.Add(s.Mesh, depth.Fill{Facing: depth.Fronts})
	return d
}

// randomPoint returns a point on the paths, evenly by length.
func randomPoint(rng *rand.Rand, paths ln.Paths) ln.Vector {
	total := 0.0
	for _, p := range paths {
		total += length(p)
	}
	at := rng.Float64() * total
	for _, p := range paths {
		for i := 1; i < len(p); i++ {
			if l := p[i].Sub(p[i-1]).Length(); at <= l && l > 0 {
				return p[i-1].Add(p[i].Sub(p[i-1]).MulScalar(at / l))
			} else {
				at -= l
			}
		}
	}
	return paths[0][0]
}

func length(p ln.Path) (sum float64) {
	for i := 1; i < len(p); i++ {
		sum += p[i].Sub(p[i-1]).Length()
	}
	return sum
}

func TestPartsMakeUpThePath(t *testing.T) {
	s := solid.New(shape.Knot(r3.Vec{}, 30, 2500))
	look := hidden.Look{Toward: r3.Unit(r3.Vec{X: 1, Y: 0.3, Z: 0.5}), Step: 0.5, Precision: 0.01}
	paths := lines(s, look.Toward)
	for i, parts := range hidden.Split(s, paths, look) {
		want, got := 0.0, 0.0
		for k := 1; k < len(paths[i].Points); k++ {
			want += r3.Norm(r3.Sub(paths[i].Points[k], paths[i].Points[k-1]))
		}
		for _, p := range append(parts.Visible, parts.Hidden...) {
			got += length(p)
		}
		if math.Abs(got-want) > 1e-9*want {
			t.Fatalf("path %d of %v mm came back as %v mm", i, want, got)
		}
	}
}

func TestEndsOfStretchesAreFoundPrecisely(t *testing.T) {
	// A bar over a table, seen from above: it hides x from -3 to 3.
	s := solid.New(form.Joined(form.Box(r3.Vec{X: -20, Y: -20}, r3.Vec{X: 20, Y: 20, Z: 1}),
		form.Box(r3.Vec{X: -3, Y: -30, Z: 5}, r3.Vec{X: 3, Y: 30, Z: 8})))
	path := hidden.Path{Points: []r3.Vec{{X: -15, Y: 2, Z: 1}, {X: 15, Y: 2, Z: 1}}}
	parts := hidden.Split(s, []hidden.Path{path}, hidden.Look{Toward: r3.Vec{Z: 1}, Step: 1, Precision: 1e-4})[0]
	if len(parts.Visible) != 2 || len(parts.Hidden) != 1 {
		t.Fatalf("%d visible, %d hidden stretches", len(parts.Visible), len(parts.Hidden))
	}
	if h := parts.Hidden[0]; math.Abs(h[0].X+3) > 1e-3 || math.Abs(h[len(h)-1].X-3) > 1e-3 {
		t.Errorf("hidden from %v to %v", h[0], h[len(h)-1])
	}
}

func TestSectionHidesWhatIsBehindItsFace(t *testing.T) {
	s := solid.New(form.Box(r3.Vec{X: -10, Y: -10}, r3.Vec{X: 10, Y: 10, Z: 10}))
	look := hidden.Look{Toward: r3.Vec{Y: -1}, Step: 1, Precision: 1e-3,
		Section: &hidden.Section{Y: 0, Inside: func(x, z float64) bool { return math.Abs(x) < 10 && z > 0 && z < 10 }}}
	back := hidden.Path{Points: []r3.Vec{{X: -5, Y: 10, Z: 5}, {X: 5, Y: 10, Z: 5}}}
	if parts := hidden.Split(s, []hidden.Path{back}, look)[0]; len(parts.Visible) != 0 {
		t.Error("the back is seen through the cut face")
	}
}

func TestWindowLeavesOutOnlyWhatLiesOutside(t *testing.T) {
	s := solid.New(shape.Knot(r3.Vec{}, 30, 2500))
	toward := r3.Vec{Z: 1}
	look := hidden.Look{Toward: toward, Step: 0.5, Precision: 0.01}
	paths := lines(s, toward)
	whole := hidden.Split(s, paths, look)
	look.Window = hidden.Window{Right: r3.Vec{X: 1}, Up: r3.Vec{Y: 1}, Min: r2.Vec{X: -10, Y: 5}, Max: r2.Vec{X: 20, Y: 40}}
	part := hidden.Split(s, paths, look)
	inside := func(all []hidden.Parts) (sum float64) {
		for _, parts := range all {
			for _, p := range parts.Visible {
				for i := 1; i < len(p); i++ {
					if m := p[i].Add(p[i-1]).MulScalar(0.5); m.X > -9 && m.X < 19 && m.Y > 6 && m.Y < 39 {
						sum += p[i].Sub(p[i-1]).Length()
					}
				}
			}
		}
		return sum
	}
	if a, b := inside(whole), inside(part); math.Abs(a-b) > 0.002*a {
		t.Errorf("%v mm are seen in the window, %v mm without it", b, a)
	}
}

func TestResultDoesNotDependOnProcessors(t *testing.T) {
	s := solid.New(shape.Knot(r3.Vec{}, 30, 2500))
	look := hidden.Look{Toward: r3.Unit(r3.Vec{X: 1, Y: 0.3, Z: 0.5}), Step: 0.5, Precision: 0.01}
	paths := lines(s, look.Toward)
	want := hidden.Split(s, paths, look)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	if !cmp.Equal(want, hidden.Split(s, paths, look)) {
		t.Error("one processor finds other stretches than all")
	}
}

func TestSplitTakesBadPaths(t *testing.T) {
	s := solid.New(form.Box(r3.Vec{}, r3.Vec{X: 1, Y: 1, Z: 1}))
	nan := math.NaN()
	paths := []hidden.Path{{}, {Points: []r3.Vec{{}}}, {Points: []r3.Vec{{}, {}}}, {Points: []r3.Vec{{X: nan}, {X: 1}}}}
	hidden.Split(s, paths, hidden.Look{Toward: r3.Vec{Z: 1}}) // no step, no precision
	hidden.Split(s, []hidden.Path{{Points: []r3.Vec{{}, {X: 1}}}}, hidden.Look{Toward: r3.Vec{Z: 1}, Step: 1e-300, Precision: 0})
}
