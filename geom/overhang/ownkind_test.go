package overhang

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/field"
	"conewright/geom/form"
	"conewright/geom/mesh"
	"conewright/geom/warp"
)

// wave is a kind of field of this test alone: f = height sin(x / length). It
// bends both ways, and its azimuth flips where the cosine is 0.
func wave(height, length float64) field.Answers {
	slope := height / length
	flip := func(p r2.Vec) float64 { // distance from where the gradient vanishes
		return math.Abs(math.Remainder(p.X-length*math.Pi/2, length*math.Pi))
	}
	return field.Answers{
		Name: "wave", Slope: slope, Curvature: field.Mixed,
		At:   func(p r2.Vec) float64 { return height * math.Sin(p.X/length) },
		Grad: func(p r2.Vec) r2.Vec { return r2.Vec{X: slope * math.Cos(p.X/length)} },
		Breaks: func(ts []float64, a, b r2.Vec) []float64 {
			if a.X == b.X {
				return ts
			}
			quarter := length * math.Pi / 2 // it bends the other way at even ones, and levels at odd ones
			lo, hi := math.Min(a.X, b.X), math.Max(a.X, b.X)
			for k := math.Ceil(lo / quarter); k*quarter < hi; k++ {
				if t := (k*quarter - a.X) / (b.X - a.X); t > 0 && t < 1 {
					ts = append(ts, t)
				}
			}
			return ts
		},
		Bend: func(r2.Vec, float64) float64 { return slope / length },
		Slopes: func(p r2.Vec, radius float64) (least, most float64) {
			here := slope * math.Abs(math.Cos(p.X/length))
			return math.Max(0, here-radius*slope/length), math.Min(slope, here+radius*slope/length)
		},
		Apart:  flip,
		Crease: func(r2.Vec) float64 { return math.Inf(1) },
	}
}

func TestAKindThatLeavesAnAnswerOutFailsWhenItIsMade(t *testing.T) {
	for name, leave := range map[string]func(a *field.Answers){
		"Name": func(a *field.Answers) { a.Name = "" }, "At": func(a *field.Answers) { a.At = nil },
		"Grad": func(a *field.Answers) { a.Grad = nil }, "Breaks": func(a *field.Answers) { a.Breaks = nil },
		"Bend": func(a *field.Answers) { a.Bend = nil }, "Slopes": func(a *field.Answers) { a.Slopes = nil },
		"Apart": func(a *field.Answers) { a.Apart = nil }, "Crease": func(a *field.Answers) { a.Crease = nil },
		"Slope": func(a *field.Answers) { a.Slope = 0 },
	} {
		a := wave(3, 10)
		leave(&a)
		if _, err := field.Own(a); !errors.Is(err, field.ErrAnswer) || !strings.Contains(err.Error(), "tell "+name+":") {
			t.Errorf("without %s: %v", name, err)
		}
	}
}

// The underside of a plate stands free where the shells' normal leans less than
// the limit asks for. Sampled densely; what samples miss lies on the borders.
func TestAKindOfOnesOwnIsWarpedAndJudged(t *testing.T) {
	f, err := field.Own(wave(12, 12))
	if err != nil {
		t.Fatal(err)
	}
	const tol = 0.02
	m := form.Box(r3.Vec{X: -30, Y: -10, Z: 20}, r3.Vec{X: 30, Y: 10, Z: 24})
	refined, err := warp.Refine(context.Background(), m, &f, tol)
	if err != nil {
		t.Fatal(err)
	}
	for i := range refined.Facets {
		a, b, c := refined.Corners(i)
		lift := func(p r3.Vec) float64 { return f.At(r2.Vec{X: p.X, Y: p.Y}) }
		const n = 8
		for j := range n + 1 {
			for k := range n + 1 - j {
				v, w := float64(j)/n, float64(k)/n
				p := r3.Add(a, r3.Add(r3.Scale(v, r3.Sub(b, a)), r3.Scale(w, r3.Sub(c, a))))
				if off := math.Abs(lift(a) + v*(lift(b)-lift(a)) + w*(lift(c)-lift(a)) - lift(p)); off > tol {
					t.Fatalf("facet %d is off by %v at %v", i, off, p)
				}
			}
		}
	}
	limit := math.Sin((45 + SlackDeg) * math.Pi / 180)
	area, step := 0.0, 0.001
	for x := -30 + step/2; x < 30; x += step {
		if n := f.Normal(r2.Vec{X: x}); -n.Z < -limit {
			area += 20 * step
		}
	}
	for _, side := range [2]float64{-1, 1} { // the ends lean where the shells do
		if n := f.Normal(r2.Vec{X: 30 * side}); side*n.X < -limit {
			area += 20 * 4
		}
	}
	if got := Find(m, &f, 45).Area; math.Abs(got-area) > 0.01*area {
		t.Errorf("%v mm2 unsupported, sampled %v", got, area)
	}
	if starts := MidairStarts(refined, &f, nil, 0.3); len(starts) != 2 {
		t.Errorf("%d starts: %v", len(starts), starts)
	}
}

// A shelf on a wall, a T seen from its end: a ridge over the wall carries the
// shelf all along, which level layers don't.
func TestARidgeCarriesAShelfOnAWall(t *testing.T) {
	wall := form.Box(r3.Vec{X: -2, Y: -30}, r3.Vec{X: 2, Y: 30, Z: 30})
	shelf := form.Box(r3.Vec{X: -15, Y: -30, Z: 30}, r3.Vec{X: 15, Y: 30, Z: 34})
	whole := &mesh.Mesh{Vertices: append([]r3.Vec(nil), wall.Vertices...), Facets: append([][3]int32(nil), wall.Facets...)}
	for _, f := range shelf.Facets {
		n := int32(len(wall.Vertices))
		whole.Facets = append(whole.Facets, [3]int32{f[0] + n, f[1] + n, f[2] + n})
	}
	whole.Vertices = append(whole.Vertices, shelf.Vertices...)
	ridge := field.NewRidge(45*math.Pi/180, false, []r2.Vec{{Y: -30}, {Y: 30}}, 0)
	refined, err := warp.Refine(context.Background(), whole, &ridge, 0.02)
	if err != nil {
		t.Fatal(err)
	}
	if got := Find(whole, &ridge, 45).Area; got > 0.5 {
		t.Errorf("%v mm2 unsupported in a ridge", got)
	}
	if starts := MidairStarts(refined, &ridge, nil, 0.28); len(starts) > 0 {
		t.Errorf("mid-air starts in a ridge: %v", starts)
	}
	level := field.Field{}
	if got := Find(whole, &level, 45).Area; math.Abs(got-26*60) > 60 {
		t.Errorf("%v mm2 unsupported in level layers, 1560 are", got)
	}
}
