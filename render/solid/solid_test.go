package solid_test

import (
	"math"
	"math/rand"
	"testing"

	"conewright/geom/form"
	"conewright/geom/mesh"
	"conewright/render/internal/shape"
	"conewright/render/solid"

	"github.com/fogleman/ln/ln"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

var origin = r2.Vec{}

// slow is the same question asked of every facet in turn, through ln's own
// triangle.
func slow(m *mesh.Mesh, o, d r3.Vec) float64 {
	best := math.Inf(1)
	for i := range m.Facets {
		a, b, c := m.Corners(i)
		t := ln.NewTriangle(ln.Vector(a), ln.Vector(b), ln.Vector(c))
		if hit := t.Intersect(ln.Ray{Origin: ln.Vector(o), Direction: ln.Vector(d)}); hit.Ok() {
			best = math.Min(best, hit.T)
		}
	}
	return best
}

func random(rng *rand.Rand, size float64) r3.Vec {
	return r3.Vec{X: (rng.Float64() - 0.5) * size, Y: (rng.Float64() - 0.5) * size, Z: (rng.Float64() - 0.3) * size}
}

func TestRaysAgreeWithEveryFacetAskedInTurn(t *testing.T) {
	rays := 2000
	if testing.Short() {
		rays = 200
	}
	for name, m := range map[string]*mesh.Mesh{
		"bollard": shape.Bollard(origin, 60),
		"knot":    shape.Knot(r3.Vec{Z: 20}, 30, 3000),
		"box":     form.Box(r3.Vec{X: -10, Y: -10}, r3.Vec{X: 10, Y: 10, Z: 20}),
	} {
		s, rng := solid.New(m), rand.New(rand.NewSource(1))
		for range rays {
			o, d := random(rng, 80), r3.Unit(random(rng, 1))
			want := slow(m, o, d)
			_, got, ok := s.Nearest(o, d)
			if ok != !math.IsInf(want, 1) && want < 1e300 || ok && math.Abs(got-want) > 1e-9 {
				t.Fatalf("%s: from %v toward %v: %v %v, every facet in turn %v", name, o, d, got, ok, want)
			}
			c := s.Toward(d)
			if c.Meets(o, want*0.999) {
				t.Fatalf("%s: met something nearer than the nearest", name)
			}
			if ok && !c.Meets(o, want*1.001) {
				t.Fatalf("%s: missed what is there", name)
			}
		}
	}
}

func TestRaysAlongTheAxesMeetSeams(t *testing.T) {
	s := solid.New(form.Box(r3.Vec{X: -10, Y: -10}, r3.Vec{X: 10, Y: 10, Z: 20}))
	up := s.Toward(r3.Vec{Z: 1})
	for _, o := range []r3.Vec{{Z: -5}, {X: 3, Y: 3, Z: -5}, {X: -10, Y: -10, Z: -5}, {X: 10, Z: -5}} {
		if !up.Meets(o, math.Inf(1)) {
			t.Errorf("the ray from %v slipped through", o)
		}
	}
}

func TestSolidIsAnLnShape(t *testing.T) {
	scene := ln.Scene{}
	scene.Add(solid.New(shape.Bollard(origin, 24)))
	scene.Compile()
	if scene.Visible(ln.Vector{Z: 200}, ln.Vector{X: 15, Z: 32.9}) {
		t.Error("the underside of the head is seen from above")
	}
	if !scene.Visible(ln.Vector{Z: 200}, ln.Vector{X: 24, Z: 43}) {
		t.Error("the top of the head is not seen from above")
	}
	s := scene.Shapes[0]
	if !s.Contains(ln.Vector{Z: 20}, 0) || s.Contains(ln.Vector{X: 20, Z: 20}, 0) {
		t.Error("inside and outside are mixed up")
	}
	if len(s.Paths()) == 0 {
		t.Error("no creases")
	}
}

func TestEdges(t *testing.T) {
	box := form.Box(r3.Vec{}, r3.Vec{X: 10, Y: 10, Z: 10})
	open := &mesh.Mesh{Vertices: box.Vertices, Facets: box.Facets[:len(box.Facets)-1]}
	tests := []struct {
		name            string
		mesh            *mesh.Mesh
		creases, border int
	}{
		{"a box has twelve", box, 12, 0},
		{"an open box has borders", open, 10, 3},
		{"a bollard has a ring a sharp corner of its profile", shape.Bollard(origin, 72), 7 * 72, 0},
	}
	for _, tt := range tests {
		creases, border := 0, 0
		for _, e := range solid.New(tt.mesh).Edges {
			switch e.Kind {
			case solid.Crease:
				creases++
			case solid.Border:
				border++
			}
		}
		if border != tt.border || creases != tt.creases {
			t.Errorf("%s: %d creases, %d borders; want %d, %d", tt.name, creases, border, tt.creases, tt.border)
		}
	}
}

func TestSilhouetteOfASphereIsOneRing(t *testing.T) {
	var profile [][2]float64
	for i := 0; i <= 36; i++ {
		sin, cos := math.Sincos(math.Pi * float64(i) / 36)
		profile = append(profile, [2]float64{math.Max(0, 20*sin*1), -20 * cos})
	}
	profile[0][0], profile[36][0] = 0, 0
	s := solid.New(shape.Revolve(origin, 72, profile...))
	if n := len(s.Creases()); n != 0 {
		t.Errorf("%d creases on a sphere", n)
	}
	chains := s.Silhouettes(r3.Unit(r3.Vec{X: 1, Y: 0.7, Z: 0.9}))
	if len(chains) != 1 || chains[0].Points[0] != chains[0].Points[len(chains[0].Points)-1] {
		t.Errorf("%d chains, want one closed", len(chains))
	}
}

func TestNewTakesBadMeshes(t *testing.T) {
	nan := math.NaN()
	s := solid.New(&mesh.Mesh{
		Vertices: []r3.Vec{{}, {X: 1}, {Y: 1}, {X: nan}, {X: math.Inf(1)}},
		Facets:   [][3]int32{{0, 1, 2}, {0, 1, 3}, {0, 1, 4}, {0, 0, 1}, {0, 1, 1}},
	})
	if _, _, ok := s.Nearest(r3.Vec{X: 0.2, Y: 0.2, Z: 1}, r3.Vec{Z: -1}); !ok {
		t.Error("the good facet is lost")
	}
	empty := solid.New(&mesh.Mesh{})
	if c := empty.Toward(r3.Vec{Z: 1}); c.Meets(r3.Vec{}, 1) {
		t.Error("met something in nothing")
	}
}

func BenchmarkNew100000(b *testing.B) {
	m := shape.Knot(r3.Vec{}, 50, 100_000)
	b.ReportMetric(float64(len(m.Facets)), "facets")
	for b.Loop() {
		solid.New(m)
	}
}

func BenchmarkMeets(b *testing.B) {
	m := shape.Knot(r3.Vec{}, 50, 100_000)
	s := solid.New(m)
	c := s.Toward(r3.Unit(r3.Vec{X: 1, Y: -1, Z: 0.8}))
	i := 0
	for b.Loop() {
		c.Meets(r3.Add(m.Vertices[i], r3.Scale(1e-3, r3.Vec{X: 1, Y: -1, Z: 0.8})), math.Inf(1))
		i = (i + 7919) % len(m.Vertices)
	}
}

func BenchmarkSilhouettes100000(b *testing.B) {
	s := solid.New(shape.Knot(r3.Vec{}, 50, 100_000))
	for b.Loop() {
		s.Silhouettes(r3.Unit(r3.Vec{X: 1, Y: -1, Z: 0.8}))
	}
}
