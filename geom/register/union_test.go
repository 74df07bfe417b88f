package register

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/form"
	"conewright/geom/mesh"
)

// Parts are often put together of bodies that lap over each other; planners print
// their union (common practice, no source). The file is made of the plain solid.
func TestBodiesThatLapOver(t *testing.T) {
	at := func(x, y, z float64) r3.Vec { return r3.Vec{X: 110 + x, Y: 95 + y, Z: z} }
	post := form.Moved(form.Prism(form.Circle(40, 4), 0, 9), at(20, 9, 0))
	step := form.Box(at(0, 0, 4), at(9, 18, 8))
	for _, c := range []struct {
		name         string
		plain, parts *mesh.Mesh
	}{
		{"a step let in", form.Joined(form.Box(at(0, 0, 0), at(30, 18, 4)), step),
			form.Joined(form.Box(at(0, 0, 0), at(30, 18, 4)), form.Box(at(0, 0, 3), at(9, 18, 8)))},
		{"two halves and a step", form.Joined(form.Box(at(0, 0, 0), at(30, 18, 4)), step),
			form.Joined(form.Box(at(0, 0, 0), at(17, 18, 4)), form.Box(at(14, 0, 0), at(30, 18, 4)), form.Box(at(0, 0, 3), at(9, 18, 8)))},
		{"a post through a slab", form.Joined(form.Box(at(0, 0, 0), at(30, 18, 4)), form.Moved(form.Prism(form.Circle(40, 4), 4, 9), at(20, 9, 0))),
			form.Joined(form.Box(at(0, 0, 0), at(30, 18, 4)), post)},
		{"a step that nearly touches", form.Joined(form.Box(at(0, 0, 0), at(30, 18, 4)), step),
			form.Joined(form.Box(at(0, 0, 0), at(17, 18, 4)), form.Box(at(17.02, 0, 0), at(30, 18, 4)), step)},
		{"a step beside, sharing an edge", form.Joined(form.Box(at(0, 0, 0), at(30, 18, 4)), step),
			form.Joined(form.Box(at(0, 0, 0), at(9, 18, 8)), form.Box(at(9, 0, 0), at(30, 18, 4))).Weld(1e-6)},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := dialect{walls: 2, fill: 0.4, width: 0.45}
			shift := r3.Vec{X: -12.5, Y: 31}
			expect(t, planarJob{m: c.plain, h: 0.25, d: d, shift: shift}.make(), c.parts, d, shift)
		})
	}
}

// The outline of the union of two discs: its length and area by the circular
// segments of each (elementary geometry).
func TestOutermostOfTwoDiscs(t *testing.T) {
	const r, apart, n = 10.0, 12.0, 2000
	disc := form.Prism(form.Circle(n, r), 0, 2)
	pieces := newCutter(form.Joined(disc, form.Moved(disc, r3.Vec{X: apart, Y: 0.3}))).cut(nil, 1)
	half := math.Acos(math.Hypot(apart, 0.3) / 2 / r)
	length, area := 0.0, 0.0
	for _, q := range pieces {
		length += r2.Norm(r2.Sub(q.b, q.a))
		area += r2.Dot(q.a, q.out) * r2.Norm(r2.Sub(q.b, q.a)) / 2 // divergence theorem
	}
	if want := 2 * r * (2*math.Pi - 2*half); math.Abs(length-want) > 0.002 {
		t.Errorf("the outline is %.4f long, %.4f by the formula", length, want)
	}
	if want := 2*math.Pi*r*r - r*r*(2*half-math.Sin(2*half)); math.Abs(area-want) > 0.01 {
		t.Errorf("the area is %.4f, %.4f by the formula", area, want)
	}
	hollow := form.Joined(disc, form.Inverted(form.Moved(form.Prism(form.Circle(n, 4), 0.5, 1.5), r3.Vec{X: 1})))
	length = 0
	for _, q := range newCutter(hollow).cut(nil, 1) {
		length += r2.Norm(r2.Sub(q.b, q.a))
	}
	if want := 2 * math.Pi * (r + 4); math.Abs(length-want) > 0.002 {
		t.Errorf("a hollow's outline and the disc's are %.4f, %.4f by the formula", length, want)
	}
}

// Bodies that are clear of each other cost nothing.
func TestClearBodies(t *testing.T) {
	disc := form.Prism(form.Circle(12, 5), 0, 2)
	for _, c := range []struct {
		d    r3.Vec
		near bool
	}{{r3.Vec{X: 10.2}, false}, {r3.Vec{Z: 2.2}, false}, {r3.Vec{X: 9}, true}, {r3.Vec{Z: 2}, true}} {
		if got := bodiesOf(form.Joined(disc, form.Moved(disc, c.d))).of != nil; got != c.near {
			t.Errorf("%v apart: near %t, want %t", c.d, got, c.near)
		}
	}
}

func BenchmarkCutBodies(b *testing.B) {
	disc := form.Prism(form.Circle(2000, 30), 0, 2)
	c := newCutter(form.Joined(disc, form.Moved(disc, r3.Vec{X: 20}), form.Moved(disc, r3.Vec{Y: 25})))
	var pieces []piece
	for b.Loop() {
		pieces = c.cut(pieces[:0], 1)
	}
}

// The side that depth tells of is that of the winding number of all bodies.
func TestDepthOfBodiesThatLapOver(t *testing.T) {
	rnd := rand.New(rand.NewPCG(5, 6))
	for range 60 {
		var bodies []*mesh.Mesh
		for range 4 {
			var p []r2.Vec
			for k, n := 0, 3+rnd.IntN(9); k < n; k++ {
				sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(n))
				r := 2 + 4*rnd.Float64()
				p = append(p, r2.Vec{X: r * cos, Y: r * sin})
			}
			bodies = append(bodies, form.Moved(form.Prism(p, 0, 1), r3.Vec{X: 7 * rnd.Float64(), Y: 7 * rnd.Float64()}))
		}
		c := newCutter(form.Joined(bodies...))
		all, fp := footprint{pieces: c.cutFacets(nil, 0.5)}, footprint{pieces: c.cut(nil, 0.5)}
		all.build()
		fp.build()
		for range 400 {
			p := r2.Vec{X: 20*rnd.Float64() - 7, Y: 20*rnd.Float64() - 7}
			depth, _ := fp.depth(p)
			if in := all.winding(p) > 0; in != (depth > 0) && math.Abs(depth) > 1e-4 && !cracked(&fp, p) {
				t.Fatalf("at %.4f the depth is %.4f, inside: %t", p, depth, in)
			}
		}
	}
}

// cracked reports a place next to a crack, where depth makes no difference between
// inside and out.
func cracked(f *footprint, p r2.Vec) bool {
	for i := range f.pieces {
		if q := &f.pieces[i]; q.inner && r2.Norm(r2.Sub(p, foot(p, q.a, q.b))) < crack {
			return true
		}
	}
	return false
}
