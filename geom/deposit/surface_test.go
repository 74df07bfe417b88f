package deposit

import (
	"math"
	"math/rand"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// The surface skips segments that its planes show to be of no account. Asked one by
// one, all segments say the same.
func TestPlanesOnlySkipWhatIsOfNoAccount(t *testing.T) {
	random := rand.New(rand.NewSource(4))
	within := func(most float64) float64 { return most * (2*random.Float64() - 1) }
	var s surface
	dug, held := 0, 0
	for i := range 6000 {
		n := r3.Unit(r3.Vec{X: within(0.8), Y: within(0.8), Z: 1})
		a := r3.Vec{X: within(2), Y: within(2), Z: 0.3*float64(i)/600 + within(0.3)}
		b := r3.Add(a, r3.Vec{X: within(0.5), Y: within(0.5), Z: within(0.1)})
		s.lay(a, b, segment{path: float64(i), nx: float32(n.X), ny: float32(n.Y), half: 0.1, flat: 0.12}, 0.27)

		axis := r3.Unit(r3.Vec{X: within(0.8), Y: within(0.8), Z: 1})
		at := r3.Add(a, r3.Vec{X: within(1), Y: within(1), Z: within(0.4)})
		r := rimAt(at, axis, 0.3)
		r.before = math.Inf(1)
		w := window{at: at, normal: axis, least: 0.07, most: 0.4, beside: 0.27}
		deepest, holds := 0.0, false
		for _, tile := range s.tiles {
			for c := range tile {
				for k := range tile[c].segments {
					g := &tile[c].segments[k]
					deepest = max(deepest, r.under(g, 0))
					holds = holds || w.holds(g)
				}
			}
		}
		depth, _ := s.dig(&r)
		if max(depth, leastDig) != max(deepest, leastDig) {
			t.Fatalf("bead %d: the rim digs %g deep, by all segments %g", i, depth, deepest)
		}
		if got := s.find(&w) != nil; got != holds {
			t.Fatalf("bead %d: something holds: %v, by all segments %v", i, got, holds)
		}
		if deepest > leastDig {
			dug++
		}
		if holds {
			held++
		}
	}
	if dug < 100 || held < 100 || held > 5900 {
		t.Errorf("of 6000 places the rim digs at %d and %d are held", dug, held)
	}
}
