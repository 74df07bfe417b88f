package overhang

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/field"
	"conewright/geom/mesh"
	"conewright/geom/zone"
)

const deg = math.Pi / 180

// slowOverhang judges facets that are quartered until no side is longer than
// side, each by its middle.
func slowOverhang(m *mesh.Mesh, f *field.Field, limitDeg, side float64) float64 {
	sum := 0.0
	var rec func(a, b, c, n r3.Vec)
	rec = func(a, b, c, n r3.Vec) {
		if max(r3.Norm(r3.Sub(a, b)), r3.Norm(r3.Sub(b, c)), r3.Norm(r3.Sub(c, a))) > side {
			x, y, z := r3.Scale(0.5, r3.Add(a, b)), r3.Scale(0.5, r3.Add(b, c)), r3.Scale(0.5, r3.Add(c, a))
			rec(a, x, z, n)
			rec(x, b, y, n)
			rec(z, y, c, n)
			rec(x, y, z, n)
			return
		}
		p := r3.Scale(1.0/3, r3.Add(r3.Add(a, b), c))
		if r3.Dot(n, f.Normal(r2.Vec{X: p.X, Y: p.Y})) < -math.Sin((limitDeg+0.5)*deg) {
			sum += r3.Norm(r3.Cross(r3.Sub(b, a), r3.Sub(c, a))) / 2
		}
	}
	for i := range m.Facets {
		a, b, c := m.Corners(i)
		n := r3.Cross(r3.Sub(b, a), r3.Sub(c, a))
		if r3.Norm(n) > 0 && !zone.IsBase(m, i) {
			rec(a, b, c, r3.Unit(n))
		}
	}
	return sum
}

// block is a random wedge: a box with its corners moved, so that facets face
// everywhere.
func block(r *rand.Rand) *mesh.Mesh {
	m := &mesh.Mesh{Facets: [][3]int32{{0, 2, 1}, {1, 2, 3}, {4, 5, 6}, {5, 7, 6}, {0, 1, 4}, {1, 5, 4}, {2, 6, 3}, {3, 6, 7}, {0, 4, 2}, {2, 4, 6}, {1, 3, 5}, {3, 7, 5}}}
	for i := range 8 {
		m.Vertices = append(m.Vertices, r3.Vec{
			X: 20*float64(i&1) + 8*r.NormFloat64(), Y: 20*float64(i>>1&1) + 8*r.NormFloat64(), Z: 5 + 20*float64(i>>2) + 4*r.NormFloat64()})
	}
	return m
}

func randomField(r *rand.Rand) *field.Field {
	axis := r2.Vec{X: 40*r.Float64() - 10, Y: 40*r.Float64() - 10}
	angle := (10 + 50*r.Float64()) * deg
	switch r.IntN(6) {
	case 0:
		return &field.Field{}
	case 1:
		f := field.NewRamp(angle, r.Float64()*7)
		return &f
	case 2, 3:
		f := field.NewCone(angle, r.IntN(2) == 0, axis, 0)
		return &f
	}
	f := field.NewCone(angle, r.IntN(2) == 0, axis, 0.05+4*r.Float64())
	return &f
}

func TestOverhangAgreesWithFineSubdivision(t *testing.T) {
	count := 120
	if testing.Short() {
		count = 25
	}
	r := rand.New(rand.NewPCG(7, 8))
	found := 0
	for i := range count {
		m, f, limit := block(r), randomField(r), 20+50*r.Float64()
		got := Find(m, f, limit)
		want := slowOverhang(m, f, limit, 0.35)
		// The slow way errs by half a small triangle along a border of up to
		// some 100 mm.
		if math.Abs(got.Area-want) > 0.004*want+2 {
			t.Errorf("%d: %+v limit %g: %g mm2, subdivision says %g", i, *f, limit, got.Area, want)
		}
		sum := 0.0
		for _, k := range got.Facets {
			a, b, c := m.Corners(int(k))
			sum += r3.Norm(r3.Cross(r3.Sub(b, a), r3.Sub(c, a))) / 2
		}
		for _, p := range got.Pieces {
			var n r3.Vec
			for k := 1; k+1 < len(p.Corners); k++ {
				n = r3.Add(n, r3.Cross(r3.Sub(p.Corners[k], p.Corners[0]), r3.Sub(p.Corners[k+1], p.Corners[0])))
			}
			sum += r3.Norm(n) / 2
			a, b, c := m.Corners(int(p.Facet))
			if r3.Dot(n, r3.Cross(r3.Sub(b, a), r3.Sub(c, a))) < 0 {
				t.Errorf("%d: a piece is turned over", i)
			}
		}
		if math.Abs(sum-got.Area) > 1e-9*(1+sum) {
			t.Errorf("%d: pieces add up to %g, area says %g", i, sum, got.Area)
		}
		if got.Area > 0 && len(got.Pieces) > 0 {
			found++
		}
	}
	if found < count/4 {
		t.Errorf("only %d of %d had partly unsupported facets: the test hardly tests", found, count)
	}
}

// frustum is a lone band of a cone of facets: angle from level of its outward
// facing underside (0: level, 90: upright).
func frustum(angle float64, at r2.Vec) *mesh.Mesh {
	m := &mesh.Mesh{}
	const n = 360
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / n)
		for k := range 2 {
			d := 10 * float64(k)
			rr := 20 + d*math.Cos(angle)
			m.Vertices = append(m.Vertices, r3.Vec{X: at.X + rr*cos, Y: at.Y + rr*sin, Z: 50 + d*math.Sin(angle)})
		}
	}
	for i := range int32(n) {
		a, b, c, d := 2*i, 2*i+1, (2*i+2)%(2*n), (2*i+3)%(2*n)
		m.Facets = append(m.Facets, [3]int32{a, c, d}, [3]int32{a, d, b})
	}
	return m
}

// slab is a lone underside whose outward normal leans by angle from straight
// down toward azimuth.
func slab(angle, azimuth float64) *mesh.Mesh {
	n := r3.Vec{X: math.Sin(angle) * math.Cos(azimuth), Y: math.Sin(angle) * math.Sin(azimuth), Z: -math.Cos(angle)}
	u := r3.Unit(r3.Cross(n, r3.Vec{X: 0.3, Y: 0.8, Z: 0.1}))
	v := r3.Cross(n, u)
	o := r3.Vec{X: 30, Y: 10, Z: 50}
	return &mesh.Mesh{Vertices: []r3.Vec{o, r3.Add(o, r3.Scale(5, u)), r3.Add(o, r3.Scale(5, v))}, Facets: [][3]int32{{0, 1, 2}}}
}

// Common practice, no source: level layers carry 45 degrees either way; shells
// tilted by 45 degrees move that window to 0 to 90 degrees on one side.
func TestFactsOfTheTrade(t *testing.T) {
	axis := r2.Vec{X: 3, Y: -2}
	level := field.Field{}
	outward := field.NewCone(45*deg, false, axis, 0)
	inward := field.NewCone(45*deg, true, axis, 0)
	ramp := field.NewRamp(45*deg, 0)
	for _, c := range []struct {
		name    string
		mesh    *mesh.Mesh
		field   field.Field
		carried bool
	}{
		{"level layers, 45 degrees", slab(45*deg, 1), level, true},
		{"level layers, 45 degrees the other way", slab(45*deg, 1+math.Pi), level, true},
		{"level layers, 43 degrees from straight down", slab(43*deg, 1), level, false},
		{"level layers, level underside", slab(0, 0), level, false},
		{"ramp, level underside", slab(0, 0), ramp, true},
		{"ramp, underside leaning with it up to upright", slab(89*deg, 0), ramp, true},
		{"ramp, 45 on its side", slab(45*deg, 0), ramp, true},
		{"ramp, 3 degrees the other way", slab(3*deg, math.Pi), ramp, false},
		{"ramp, 45 degrees the other way", slab(45*deg, math.Pi), ramp, false},
		{"outward cone, level underside all round", frustum(0, axis), outward, true},
		{"outward cone, 45 degrees all round", frustum(45*deg, axis), outward, true},
		{"outward cone, falling by 3 degrees outward", frustum(-3*deg, axis), outward, false},
		{"inward cone, level underside all round", frustum(0, axis), inward, true},
		{"inward cone, rising by 10 degrees outward", frustum(10*deg, axis), inward, false},
		{"level layers, level underside all round", frustum(0, axis), level, false},
	} {
		got := Find(c.mesh, &c.field, 45)
		whole := 0.0
		for i := range c.mesh.Facets {
			a, b, d := c.mesh.Corners(i)
			whole += r3.Norm(r3.Cross(r3.Sub(b, a), r3.Sub(d, a))) / 2
		}
		if want := map[bool]float64{true: 0, false: whole}[c.carried]; math.Abs(got.Area-want) > 1e-6*whole {
			t.Errorf("%s: %g of %g mm2 unsupported, want %g", c.name, got.Area, whole, want)
		}
	}
}

func TestBaseIsNeverUnsupported(t *testing.T) {
	post := spindle([]r2.Vec{{X: 5, Y: 0}, {X: 5, Y: 10}, {X: 15, Y: 10}, {X: 15, Y: 14}}, 48, r2.Vec{})
	disc := func(r float64) float64 { return 24 * r * r * math.Sin(2*math.Pi/48) }
	level := field.Field{}
	if got, want := Find(post, &level, 45).Area, disc(15)-disc(5); math.Abs(got-want) > 1e-6 {
		t.Errorf("head's underside %g mm2, want %g", got, want)
	}
	// Cut in the underside's plane: the flat stays unsupported, the cap not.
	_, head, err := zone.Cut(post, zone.Plane{Point: r3.Vec{Z: 10}, Normal: r3.Vec{Z: 1}})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := Find(head, &level, 45).Area, disc(15)-disc(5); math.Abs(got-want) > 1e-6 {
		t.Errorf("cut in its plane: %g mm2, want %g", got, want)
	}
	_, head, err = zone.Cut(post, zone.Plane{Point: r3.Vec{Z: 10.5}, Normal: r3.Vec{Z: 1}})
	if err != nil {
		t.Fatal(err)
	}
	if got := Find(head, &level, 45).Area; got != 0 {
		t.Errorf("cut above it: %g mm2, want 0", got)
	}
}

func TestOverhangIsTheSameEachTime(t *testing.T) {
	m := fine(spindle([]r2.Vec{{X: 5, Y: 0}, {X: 9, Y: 10}, {X: 4, Y: 13}, {X: 15, Y: 14}}, 64, r2.Vec{}), 1)
	f := field.NewCone(30*deg, false, r2.Vec{X: 4}, 1)
	if a, b := Find(m, &f, 45), Find(m, &f, 45); !reflect.DeepEqual(a, b) || a.Area == 0 {
		t.Error("two runs differ, or find nothing")
	}
}

func bigPart() *mesh.Mesh {
	var p []r2.Vec
	for i := range 100 {
		p = append(p, r2.Vec{X: 20 + 12*math.Sin(float64(i)/3), Y: float64(i)})
	}
	return spindle(p, 500, r2.Vec{X: 100, Y: 100})
}

func BenchmarkOverhang(b *testing.B) {
	m := bigPart() // 100,000 facets
	for _, c := range []struct {
		name  string
		field field.Field
	}{
		{"level", field.Field{}},
		{"sharp cone", field.NewCone(45*deg, false, r2.Vec{X: 100, Y: 100}, 0)},
		{"sharp cone aside", field.NewCone(45*deg, false, r2.Vec{X: 110, Y: 95}, 0)},
		{"inward cone aside", field.NewCone(45*deg, true, r2.Vec{X: 110, Y: 95}, 0)},
		{"round cone aside", field.NewCone(45*deg, false, r2.Vec{X: 110, Y: 95}, 2)},
		{"round inward cone far aside", field.NewCone(30*deg, true, r2.Vec{X: 60, Y: 95}, 2)},
	} {
		b.Run(c.name, func(b *testing.B) {
			var o Unsupported
			for b.Loop() {
				o = Find(m, &c.field, 45)
			}
			b.ReportMetric(o.Area, "mm2")
			b.ReportMetric(float64(len(o.Pieces)), "pieces")
		})
	}
}
