package clearance

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"conewright/geom/field"
	"conewright/geom/machine"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// both checks a motion as it is and with everything kept, whatever the sieve
// says, and returns the reports and the share of the moves that the sieve held
// back.
func both(t *testing.T, o Options, m Motion) (sieved, whole Report, held float64) {
	t.Helper()
	o, err := o.withDefaults()
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range []*Report{&sieved, &whole} {
		s, err := newSurvey(o, m, func(float64) {})
		if err != nil {
			t.Fatal(err)
		}
		s.keepAll = r == &whole
		if *r, err = s.run(context.Background()); err != nil {
			t.Fatal(err)
		}
		if r == &sieved {
			for i := range s.n {
				if s.uses.get(i+1) == skipped {
					held += 1 / float64(s.n)
				}
			}
		}
	}
	return sieved, whole, held
}

// alike holds what the sieve may not change: which things are met, in how many
// moves and how deep, and clearances under what is looked for in every move.
func alike(t *testing.T, o Options, sieved, whole Report) {
	t.Helper()
	if sieved.Moves != whole.Moves || sieved.LeastBed != whole.LeastBed || sieved.Beads != whole.Beads || sieved.Steps != whole.Steps {
		t.Errorf("sieved: %+v\nwhole: %+v", sieved, whole)
	}
	a, b := byThing(&sieved), byThing(&whole)
	for k, w := range b {
		g := a[k]
		// A collision that is less than deeper than another counts as no deeper.
		if g.moves != w.moves || g.first != w.first || math.Abs(g.depth-w.depth) > deeper*w.depth+fineness {
			t.Errorf("%+v: sieved %+v, whole %+v", k, g, w)
		}
	}
	if len(a) != len(b) {
		t.Errorf("sieved: %+v\nwhole: %+v", a, b)
	}
	h, err := newShape(o.Head)
	if err != nil {
		t.Fatal(err)
	}
	x, y := sieved.Least.Distance, whole.Least.Distance
	off := math.Abs(x-y) > fineness+deeper*math.Abs(min(x, y, 0))
	if min(x, y) < h.nearLookOut()-fineness && off {
		t.Errorf("least clearance %g sieved, %g whole", x, y)
	}
}

// thing is what is met, and in which zone.
type thing struct {
	target         Target
	obstacle       int
	zone, laidZone int
}

// metBy sums up the collisions with a thing, whichever part of the head meets it.
type metBy struct {
	moves, first int
	depth        float64
}

func byThing(r *Report) map[thing]metBy {
	out := map[thing]metBy{}
	for _, c := range r.Collisions {
		k := thing{c.Target, c.Obstacle, c.Zone, c.LaidZone}
		m, ok := out[k]
		if !ok || c.Step < m.first {
			m.first = c.Step
		}
		m.moves, m.depth = m.moves+c.Moves, max(m.depth, c.Depth)
		out[k] = m
	}
	return out
}

// Random motions among random heads, repeated until they are long enough for
// moves to be left out of the measuring.
func TestSieveHoldsBackNothingThatMatters(t *testing.T) {
	scenes := 40
	if testing.Short() {
		scenes = 10
	}
	collide := 0
	for seed := range scenes {
		r := rand.New(rand.NewPCG(uint64(seed), 17))
		o := Options{Head: randomHead(r)}
		m := MotionOf(randomMotion(r, 60))
		m.Steps = 1_000_000 // nearly nothing is measured: the sieve decides
		sieved, whole, _ := both(t, o, m)
		alike(t, o, sieved, whole)
		if whole.Moves > 0 {
			collide++
		}
	}
	if collide < scenes/4 {
		t.Errorf("%d of %d collide: the scenes show too little", collide, scenes)
	}
}

// Whole cones, and heads brought too near to them here and there.
func TestSieveAgreesOnConesAndHoldsNearlyAllBack(t *testing.T) {
	for _, c := range []struct {
		name string
		head machine.Head
		f    field.Field
		held float64
	}{
		{"outward", tilted(), cone(45, false), 0.7},
		{"inward", tilted(), cone(45, true), 0},
		{"steep for the head", tilted(), cone(30, false), 0.5},
		{"level", straight(), field.Field{}, 0.9},
		{"shallow", straight(), cone(15, false), 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := newScene(t, c.head)
			s.f = c.f
			s.disc(middle, 6, 22, 30, 3)
			r := rand.New(rand.NewPCG(5, 5))
			for range 30 { // the head comes down somewhere, square or not
				p := r2.Vec{X: middle.X + 50*(r.Float64()-0.5), Y: middle.Y + 50*(r.Float64()-0.5)}
				to := s.on(p, 30+2*r.Float64()-0.5)
				s.over(to, 70)
			}
			m := MotionOf(s.steps)
			m.Steps = 10_000_000
			sieved, whole, held := both(t, s.o, m)
			alike(t, s.o, sieved, whole)
			t.Logf("%d moves, %.1f %% held back, %d collide, least %.3f", sieved.Steps, 100*held, sieved.Moves, sieved.Least.Distance)
			if held < c.held {
				t.Errorf("only %.1f %% of the moves are held back", 100*held)
			}
		})
	}
}

// What the tables say of a half space is held against points of it.
func TestReachAgreesWithPoints(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for _, head := range []machine.Head{tilted(), straight()} {
		h, err := newShape(head)
		if err != nil {
			t.Fatal(err)
		}
		for _, need := range []float64{0.3, h.nearLookOut(), 2} {
			reach := newReach(h, need)
			for range 20_000 {
				a, rho := 20*r.Float64()-3, 20*r.Float64()
				if reach.under(a, rho) {
					b, out := a-5*r.Float64()*r.Float64(), rho+3*r.Float64()*r.Float64()
					if math.Hypot(b, out) >= h.free && h.profileDistance(b, out) < need {
						t.Fatalf("need %g: (%g, %g) is said to be clear, with it (%g, %g): %g", need, a, rho, b, out, h.profileDistance(b, out))
					}
				}
			}
			for range 300 {
				chord := 0.9 * r.Float64()
				angle := 2 * math.Asin(chord/2)
				offset := reach.offset(chord, chord)
				if math.IsInf(offset, -1) {
					continue
				}
				n := r3.Vec{X: math.Sin(angle), Z: math.Cos(angle)} // the nozzle axis is z here
				for range 300 {
					p := r3.Vec{X: 8 * (r.Float64() - 0.5), Y: 8 * (r.Float64() - 0.5), Z: 8 * (r.Float64() - 0.5)}
					p = r3.Sub(p, r3.Scale(max(0, r3.Dot(n, p)-offset), n)) // onto or under the plane
					if d := h.profileDistance(p.Z, math.Hypot(p.X, p.Y)); r3.Norm(p) >= h.free && d < need {
						t.Fatalf("need %g, plane %g at %g rad: %v is %g away", need, offset, angle, p, d)
					}
				}
			}
		}
	}
}
