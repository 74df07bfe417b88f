package zone

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/form"
	"conewright/geom/mesh"
)

// slowHeight is Height without grid or groups: every base facet is looked at.
func slowHeight(m *mesh.Mesh, x, y, under float64) (z float64, ok bool) {
	for i := range m.Facets {
		if !IsBase(m, i) {
			continue
		}
		a, b, c := m.Corners(i)
		n := r3.Cross(r3.Sub(b, a), r3.Sub(c, a))
		if math.Abs(n.Z) < r3.Norm(n)/2 || max(a.Z, b.Z, c.Z) <= flatTol {
			continue
		}
		det := n.Z
		p := r2.Vec{X: x, Y: y}
		u := r2.Cross(r2.Sub(flat(b), p), r2.Sub(flat(c), p)) / det
		v := r2.Cross(r2.Sub(flat(c), p), r2.Sub(flat(a), p)) / det
		w := 1 - u - v
		if u < 0 || v < 0 || w < 0 {
			continue
		}
		if h := u*a.Z + v*b.Z + w*c.Z; h >= z && h <= under {
			z, ok = h, true
		}
	}
	return z, ok
}

// bases are zones with bases of many kinds.
func bases(t testing.TB) map[string]*mesh.Mesh {
	over := func(m *mesh.Mesh, p Plane) *mesh.Mesh {
		_, o, err := Cut(m, p)
		if err != nil {
			t.Fatal(err)
		}
		return o
	}
	all := shapes()
	slant := Plane{r3.Vec{Z: 12}, r3.Vec{X: 0.4, Y: 0.2, Z: 1}}
	return map[string]*mesh.Mesh{
		"on the bed":          all["box"],
		"stem's disc":         over(all["mushroom"], Plane{r3.Vec{Z: 10}, r3.Vec{Z: 1}}),
		"slanting ring":       over(all["tube"], slant),
		"nested islands":      over(all["nested"], slant),
		"two planes":          over(over(all["nested"], Plane{r3.Vec{Z: 5}, r3.Vec{X: -0.6, Z: 1}}), Plane{r3.Vec{Z: 5}, r3.Vec{X: 0.6, Z: 1}}),
		"part bed, part cap":  over(form.Joined(box(0, 0, 0, 9, 9, 20), box(10, 0, 0, 30, 9, 20)), Plane{r3.Vec{X: 9, Z: 3}, r3.Vec{X: 0.5, Z: 1}}),
		"steep":               over(all["box"], Plane{r3.Vec{X: 10, Z: 15}, r3.Vec{X: 3, Z: 1}}),
		"bumpy on the bed":    form.Turned([]r2.Vec{{Y: 0.004}, {X: 4, Y: 0.004}, {X: 5, Y: 0.009}, {X: 6, Y: 5}, {Y: 5}}, 24),
		"bodies that overlap": over(all["overlapping"], slant),
	}
}

func TestHeightAgreesWithLookingAtEveryFacet(t *testing.T) {
	for name, m := range bases(t) {
		b := NewBase(m)
		r := rand.New(rand.NewPCG(3, 4))
		hits, top := 0, 0.0
		for range 3000 {
			x, y := r.Float64()*50-18, r.Float64()*50-18
			under := math.Inf(1)
			if r.IntN(2) == 0 {
				under = r.Float64() * 25
			}
			want, wantOK := slowHeight(m, x, y, under)
			got, n, ok := b.Height(x, y, under)
			if ok != wantOK || math.Abs(got-want) > 2*planeTol {
				t.Fatalf("%s: at %g %g under %g: %g %v, want %g %v", name, x, y, under, got, ok, want, wantOK)
			}
			if math.Abs(r3.Norm(n)-1) > 1e-12 || n.Z < 0.5-1e-9 || !ok && n.Z != 1 {
				t.Fatalf("%s: normal %v", name, n)
			}
			if ok {
				hits++
			}
			top = math.Max(top, got)
		}
		if top > b.Top()+2*planeTol {
			t.Errorf("%s: top %g, but %g was seen", name, b.Top(), top)
		}
		if flat := name == "on the bed" || name == "steep"; flat != b.Flat() || flat != (hits == 0) {
			t.Errorf("%s: flat %v, %d hits", name, b.Flat(), hits)
		}
	}
}

func TestHeightOfASlantingCutIsTheCutsPlane(t *testing.T) {
	_, m, err := Cut(box(0, 0, 0, 20, 10, 30), Plane{r3.Vec{X: 10, Y: 5, Z: 15}, r3.Vec{X: -1, Z: 2}})
	if err != nil {
		t.Fatal(err)
	}
	b := NewBase(m)
	for _, x := range []float64{0, 3, 10, 20} {
		z, n, ok := b.Height(x, 4, 100)
		want := r3.Unit(r3.Vec{X: -1, Z: 2})
		if !ok || math.Abs(z-(15+(x-10)/2)) > 1e-9 || r3.Norm(r3.Sub(n, want)) > 1e-9 {
			t.Errorf("x = %g: %g %v %v", x, z, n, ok)
		}
		if z, _, ok := b.Height(x, 4, 15+(x-10)/2-0.1); ok || z != 0 {
			t.Errorf("x = %g from under the base: %g %v", x, z, ok)
		}
	}
	if math.Abs(b.Top()-20) > 1e-9 {
		t.Errorf("top %g, want 20", b.Top())
	}
}

func TestCrossingsAgreeWithWalkingTheSegment(t *testing.T) {
	for name, m := range bases(t) {
		if name == "bodies that overlap" {
			continue // outlines inside each other's area cross without a change
		}
		b := NewBase(m)
		r := rand.New(rand.NewPCG(5, 6))
		total := 0
		for range 300 {
			p := r2.Vec{X: r.Float64()*50 - 18, Y: r.Float64()*50 - 18}
			q := r2.Vec{X: r.Float64()*50 - 18, Y: r.Float64()*50 - 18}
			got := b.Crossings(p, q)
			total += len(got)
			for i, s := range got {
				if s <= 0 || s >= 1 || i > 0 && s <= got[i-1] {
					t.Fatalf("%s: %v", name, got)
				}
			}
			// Between crossings the base doesn't change: same normal, or none.
			state := func(s float64) string {
				a := r2.Add(p, r2.Scale(s, r2.Sub(q, p)))
				_, n, ok := b.Height(a.X, a.Y, math.Inf(1))
				return fmt.Sprintf("%v %.6f", ok, n)
			}
			const steps = 500
			last := state(0)
			for i := 1; i <= steps; i++ {
				s := float64(i) / steps
				now, crossed := state(s), false
				for _, g := range got {
					crossed = crossed || g >= s-1.0/steps-1e-6 && g <= s+1e-6
				}
				if now != last && !crossed {
					t.Fatalf("%s: %v to %v changes at %g without a crossing (%v): %s, %s", name, p, q, s, got, last, now)
				}
				last = now
			}
		}
		if flat := b.Flat(); flat != (total == 0) {
			t.Errorf("%s: %d crossings", name, total)
		}
	}
}

func TestCrossingsOfAKnownOutline(t *testing.T) {
	_, m, err := Cut(box(0, 0, 0, 20, 10, 30), Plane{r3.Vec{Z: 15}, r3.Vec{Z: 1}})
	if err != nil {
		t.Fatal(err)
	}
	b := NewBase(m)
	for _, c := range []struct {
		p, q r2.Vec
		want []float64
	}{
		{r2.Vec{X: -10, Y: 5}, r2.Vec{X: 30, Y: 5}, []float64{0.25, 0.75}},
		{r2.Vec{X: -10, Y: 2}, r2.Vec{X: 10, Y: 2}, []float64{0.5}},
		{r2.Vec{X: 1, Y: 2}, r2.Vec{X: 19, Y: 9}, nil},
		{r2.Vec{X: -5, Y: -5}, r2.Vec{X: 15, Y: 15}, []float64{0.25, 0.75}},
		{r2.Vec{X: 40, Y: 5}, r2.Vec{X: 90, Y: 5}, nil},
		{r2.Vec{X: 5, Y: 5}, r2.Vec{X: 5, Y: 5}, nil},
	} {
		got := b.Crossings(c.p, c.q)
		if len(got) != len(c.want) {
			t.Errorf("%v to %v: %v, want %v", c.p, c.q, got, c.want)
			continue
		}
		for i := range got {
			if math.Abs(got[i]-c.want[i]) > 1e-9 {
				t.Errorf("%v to %v: %v, want %v", c.p, c.q, got, c.want)
			}
		}
	}
}

func BenchmarkBaseHeight(b *testing.B) {
	_, m, err := Cut(form.Torus(30, 10, 2000, 40), Plane{r3.Vec{}, r3.Vec{X: 0.2, Z: 1}})
	if err != nil {
		b.Fatal(err)
	}
	base := NewBase(m)
	b.Run("height", func(b *testing.B) {
		x := -40.0
		for b.Loop() {
			x += 0.37
			if x > 40 {
				x -= 80
			}
			base.Height(x, 3, 100)
		}
	})
	b.Run("crossings of 1 mm", func(b *testing.B) {
		x := -40.0
		var buf []float64
		for b.Loop() {
			x += 0.37
			if x > 40 {
				x -= 80
			}
			buf = base.AppendCrossings(buf[:0], r2.Vec{X: x, Y: 3}, r2.Vec{X: x + 1, Y: 3})
		}
	})
	b.Run("make", func(b *testing.B) {
		for b.Loop() {
			NewBase(m)
		}
	})
}
