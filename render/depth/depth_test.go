package depth_test

import (
	"math"
	"math/rand"
	"testing"

	"conewright/geom/form"
	"conewright/render/depth"
	"conewright/render/internal/shape"
	"conewright/render/solid"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// above looks down on 0..20 by 0..20 mm.
func above(cell float64) depth.View {
	return depth.View{Right: r3.Vec{X: 1}, Up: r3.Vec{Y: 1}, Toward: r3.Vec{Z: 1}, Max: r2.Vec{X: 20, Y: 20}, Cell: cell}
}

func TestAskUnderAPlate(t *testing.T) {
	m := depth.New(above(0.5))
	m.Add(form.Box(r3.Vec{X: 2, Y: 2}, r3.Vec{X: 18, Y: 18, Z: 5}), depth.Fill{Facing: depth.Fronts})
	m.Add(form.Box(r3.Vec{X: 8, Y: 8, Z: 9}, r3.Vec{X: 14, Y: 14, Z: 10}), depth.Fill{Facing: depth.Fronts})
	up := r3.Vec{Z: 1}
	for name, c := range map[string]struct {
		at, normal r3.Vec
		want       depth.Answer
	}{
		"beside the plate":    {r3.Vec{X: 5, Y: 5, Z: 5}, up, depth.Seen},
		"under the plate":     {r3.Vec{X: 11, Y: 11, Z: 5}, up, depth.Hidden},
		"on the plate":        {r3.Vec{X: 11, Y: 11, Z: 10}, up, depth.Seen},
		"under its rim":       {r3.Vec{X: 8, Y: 11, Z: 5}, up, depth.Unsure},
		"on a wall":           {r3.Vec{X: 2, Y: 11, Z: 3}, r3.Vec{X: -1}, depth.Unsure},
		"outside of the map":  {r3.Vec{X: 99, Y: 11, Z: 3}, up, depth.Unsure},
		"without a normal":    {r3.Vec{X: 5, Y: 5, Z: 5}, r3.Vec{}, depth.Unsure},
		"nowhere":             {r3.Vec{X: math.NaN(), Y: 5, Z: 5}, up, depth.Unsure},
		"just over the block": {r3.Vec{X: 5, Y: 5, Z: 5.2}, up, depth.Seen},
	} {
		if got := m.Ask(c.at, c.normal); got != c.want {
			t.Errorf("%s: %v, not %v", name, got, c.want)
		}
	}
}

// TestAnswersAgreeWithRays asks about points all over a twisted part.
func TestAnswersAgreeWithRays(t *testing.T) {
	s := solid.New(shape.Knot(r3.Vec{X: 125, Y: 105, Z: 40}, 50, 20_000))
	toward := r3.Unit(r3.Vec{X: 0.4, Y: -0.8, Z: 0.45})
	right := r3.Unit(r3.Cross(r3.Vec{Z: 1}, toward))
	m := depth.New(depth.View{Right: right, Up: r3.Cross(toward, right), Toward: toward,
		Min: r2.Vec{X: -400, Y: -400}, Max: r2.Vec{X: 400, Y: 400}, Cell: 0.2})
	m.Add(s.Mesh, depth.Fill{Facing: depth.Fronts})
	rays, rng := s.Toward(toward), rand.New(rand.NewSource(3))
	asked, sure, wrong := 0, 0, 0
	for asked < 10_000 {
		i := rng.Intn(len(s.Mesh.Facets))
		if r3.Dot(s.Normals[i], toward) < 0 {
			continue
		}
		asked++
		a, b, c := s.Mesh.Corners(i)
		p := r3.Scale(1./3, r3.Add(a, r3.Add(b, c)))
		answer := m.Ask(p, s.Normals[i])
		if answer == depth.Unsure {
			continue
		}
		sure++
		if seen := !rays.Meets(r3.Add(p, r3.Scale(1e-3, toward)), math.Inf(1)); seen != (answer == depth.Seen) {
			wrong++
		}
	}
	t.Logf("sure of %d of %d points, wrong of %d", sure, asked, wrong)
	if sure < asked*3/4 || wrong > sure/1000 {
		t.Errorf("sure of %d of %d points, wrong of %d", sure, asked, wrong)
	}
}

// TestOutlinesAgreeWithRays asks about the middles of outline edges of a twisted part.
func TestOutlinesAgreeWithRays(t *testing.T) {
	s := solid.New(shape.Knot(r3.Vec{X: 125, Y: 105, Z: 40}, 50, 20_000))
	asked, sure, wrong := 0, 0, 0
	for view := range 20 {
		toward := r3.Unit(r3.Vec{X: math.Sin(float64(view)), Y: math.Cos(float64(view)), Z: 0.05 * float64(view)})
		right := r3.Unit(r3.Cross(r3.Vec{Z: 1}, toward))
		m := depth.New(depth.View{Right: right, Up: r3.Cross(toward, right), Toward: toward,
			Min: r2.Vec{X: -400, Y: -400}, Max: r2.Vec{X: 400, Y: 400}, Cell: 0.4})
		m.Add(s.Mesh, depth.Fill{Facing: depth.Fronts})
		rays := s.Toward(toward)
		for _, c := range s.Silhouettes(toward) {
			for i, normal := range c.Normals {
				asked++
				p := r3.Scale(0.5, r3.Add(c.Points[i], c.Points[i+1]))
				answer := m.AskEdge(p, normal)
				if answer == depth.Unsure {
					continue
				}
				sure++
				lifted := r3.Add(p, r3.Add(r3.Scale(2e-3, toward), r3.Scale(1e-3, normal)))
				if answer == depth.Seen && rays.Meets(lifted, m.OwnFolds()) {
					continue // the answer leaves this to a short ray
				}
				if seen := !rays.Meets(lifted, math.Inf(1)); seen != (answer == depth.Seen) {
					wrong++
				}
			}
		}
	}
	t.Logf("sure of %d of %d points, wrong of %d", sure, asked, wrong)
	if sure < asked*3/4 || wrong > sure/50 {
		t.Errorf("sure of %d of %d points, wrong of %d", sure, asked, wrong)
	}
}

func TestAHalfBuiltBoxIsCoveredByItsTop(t *testing.T) {
	box := form.Box(r3.Vec{X: 2, Y: 2}, r3.Vec{X: 18, Y: 18, Z: 10})
	values := make([]float64, len(box.Vertices))
	for i, v := range box.Vertices {
		values[i] = v.Z
	}
	const top = 4.
	fill := depth.Fill{Facing: depth.Fronts, Values: values, Most: top}
	now, backs := depth.New(above(0.25)), depth.New(above(0.25))
	now.Add(box, fill)
	if !now.Before(r3.Vec{X: 10, Y: 10, Z: 1}) {
		t.Error("something is before the bottom of an open box")
	}
	fill.Facing = depth.Backs
	backs.Add(box, fill)
	now.Cover(backs, func(back r3.Vec) float64 {
		if math.Abs(back.Z) > 1e-6 {
			t.Fatalf("the back is at %v, not on the bed", back)
		}
		return top
	})
	for z, want := range map[float64]bool{1: false, 3.9: false, 4.1: true} {
		if got := now.Before(r3.Vec{X: 10, Y: 10, Z: z}); got != want {
			t.Errorf("at %v: before is %v", z, got)
		}
	}
	all := depth.New(above(0.25))
	all.Unite(now)
	if all.Before(r3.Vec{X: 10, Y: 10, Z: 3.9}) || !all.Before(r3.Vec{X: 1, Y: 1, Z: 1}) {
		t.Error("united, it isn't the same")
	}
}

func TestStrangeViewsAreBounded(t *testing.T) {
	for _, v := range []depth.View{
		{}, above(0), above(math.NaN()), above(1e-12),
		{Max: r2.Vec{X: math.Inf(1), Y: 1}}, {Max: r2.Vec{X: math.NaN(), Y: 1}}, {Min: r2.Vec{X: 5}, Max: r2.Vec{Y: 1e9}, Cell: 1e-3},
	} {
		m := depth.New(v)
		m.Add(form.Box(r3.Vec{}, r3.Vec{X: 1, Y: 1, Z: 1}), depth.Fill{})
		m.Ask(r3.Vec{X: 0.5}, r3.Vec{Z: 1})
		m.AskEdge(r3.Vec{X: 0.5}, r3.Vec{X: 1})
		m.AskEdge(r3.Vec{X: math.NaN()}, r3.Vec{X: math.NaN()})
		m.Before(r3.Vec{X: math.Inf(1)})
	}
}

func BenchmarkAdd100000(b *testing.B) {
	k := shape.Knot(r3.Vec{}, 50, 100_000)
	v := above(0.3)
	v.Min, v.Max = r2.Vec{X: -80, Y: -80}, r2.Vec{X: 80, Y: 80}
	for b.Loop() {
		depth.New(v).Add(k, depth.Fill{Facing: depth.Fronts})
	}
}
