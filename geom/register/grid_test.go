package register

import (
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// Against every pair of cells.
func TestGridKnowsHowFarTheNextItemIs(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 1))
	for range 20 {
		var segments []segment
		for range 1 + rnd.IntN(6) {
			a := r2.Vec{X: 40 * rnd.Float64(), Y: 25 * rnd.Float64()}
			segments = append(segments, segment{a: a, b: r2.Vec{X: a.X + 5*rnd.Float64(), Y: a.Y - 5*rnd.Float64()}})
		}
		var g grid
		g.build(len(segments), func(i int) (r2.Vec, r2.Vec) { return segments[i].a, segments[i].b }, 0)
		got := g.distances(nil)
		for c := range g.nx * g.ny {
			want := mostAway
			for k := range g.nx * g.ny {
				if len(g.items(k)) > 0 {
					dx, dy := c%g.nx-k%g.nx, c/g.nx-k/g.nx
					want = min(want, max(dx, -dx, dy, -dy))
				}
			}
			if int(got[c]) != want {
				t.Fatalf("cell %d of %d x %d is %d off, want %d", c, g.nx, g.ny, got[c], want)
			}
		}
	}
}

// What within promises, depth finds everywhere along the segment.
func TestWithinPromisesNoMoreDepthThanThereIs(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 2))
	outer := loft(ring{0, circlePoly(r2.Vec{}, 30, 40)}, ring{4, circlePoly(r2.Vec{}, 20, 40)})
	fp := footprint{pieces: newCutter(outer).cut(nil, 1.3)}
	fp.build()
	told := 0
	for range 20000 {
		a := r2.Vec{X: 70*rnd.Float64() - 35, Y: 70*rnd.Float64() - 35}
		b := r2.Add(a, r2.Vec{X: 6*rnd.Float64() - 3, Y: 6*rnd.Float64() - 3})
		sure := fp.within(a, b)
		if sure == 0 {
			continue
		}
		told++
		for k := range 11 {
			if depth, _ := fp.depth(along(a, b, float64(k)/10)); depth < min(sure, reach) {
				t.Fatalf("from %.2f to %.2f the depth is %.3f, %.3f is promised", a, b, depth, sure)
			}
		}
	}
	if told < 5000 {
		t.Errorf("only %d segments were told", told)
	}
}
