package machine

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

func testCard(t testing.TB) *Card {
	c, ok := Builtin("swivel-45")
	if !ok {
		t.Fatal("no card swivel-45")
	}
	return c
}

// A single move of 100 mm along x at 50 mm/s, 1000 mm/s2: two ramps of 0.05 s
// and 1.25 mm, the rest at full speed (uniform acceleration, v = a t,
// s = a t^2 / 2: any textbook of mechanics).
func TestSingleMovesTakeWhatMechanicsSays(t *testing.T) {
	for _, c := range []struct {
		name    string
		step    [Axes]float64
		seconds float64
		want    float64
	}{
		{"trapezoid", [Axes]float64{100}, 2, 0.1 + 97.5/50},
		{"triangle", [Axes]float64{1}, 0, 2 * math.Sqrt(1.0/1000)},
		{"swivel alone, 90 degrees at 360 a second", [Axes]float64{AxisTurn: 90}, 0, 2*0.12 + (90-2*21.6)/360},
		{"retraction of 1 mm at 35 mm/s", [Axes]float64{AxisE: -1}, 1.0 / 35, 35.0/3000 + 1.0/35},
		{"z is slow", [Axes]float64{AxisZ: 12}, 0.1, 2*0.06 + (12-0.72)/12},
		{"nothing", [Axes]float64{}, 5, 0},
		{"no number", [Axes]float64{math.NaN()}, 5, 0},
	} {
		e := NewEstimator(testCard(t))
		e.Add(c.step, c.seconds)
		if got := e.Total(); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: %g s, want %g", c.name, got, c.want)
		}
	}
}

func TestCuttingAStraightMoveChangesNothing(t *testing.T) {
	one, many := NewEstimator(testCard(t)), NewEstimator(testCard(t))
	one.Add([Axes]float64{100, 50, 1, 90, 0, 4}, 2)
	for range 2000 {
		many.Add([Axes]float64{0.05, 0.025, 0.0005, 0.045, 0, 0.002}, 0.001)
	}
	if a, b := one.Total(), many.Total(); math.Abs(a-b) > 1e-3*a {
		t.Errorf("in one move %g s, in 2000 %g s", a, b)
	}
}

// A ring about the axis of a turning bed moves the bed alone, x and y by what their
// words are rounded: in many moves it takes what one ramp up, one way and one ramp
// down take, as a single turn does (uniform acceleration, any textbook of mechanics).
func TestABedThatTurnsAloneKeepsItsSpeed(t *testing.T) {
	card, ok := Builtin("turning-bed-45")
	if !ok {
		t.Fatal("no card turning-bed-45")
	}
	axis := card.Rotary[0]
	e := NewEstimator(card)
	const speed = 90.0 // degrees a second
	for i := range 720 {
		e.Add([Axes]float64{AxisX: 0.0005 * float64(i%3-1), AxisTurn: 0.5, AxisE: 0.01}, 0.5/speed)
	}
	want := 360/speed + speed/axis.MaxAccel
	if got := e.Total(); math.Abs(got-want) > 0.02*want {
		t.Errorf("a turn of the bed takes %.3f s, want %.3f", got, want)
	}
}

type timed struct {
	step    [Axes]float64
	seconds float64
}

// simulate drives the same machine step by step: it walks the path in tiny
// steps of length, backward and then forward, never changing the speed by more
// than the acceleration there allows, and adds up their times.
func simulate(c *Card, moves []timed) float64 {
	speed := [Axes]float64{c.MaxSpeed.X, c.MaxSpeed.Y, c.MaxSpeed.Z, c.Swivel.MaxSpeed, 1, c.MaxSpeed.E}
	accel := [Axes]float64{c.MaxAccel.X, c.MaxAccel.Y, c.MaxAccel.Z, c.Swivel.MaxAccel, 1, c.MaxAccel.E}
	var ds, top, acc []float64 // a step; speed bound at its begin; acceleration on it
	var before timed
	beforeLen, beforeCruise, beforeMoved := 0.0, 0.0, false
	for _, m := range moves {
		l := math.Sqrt(m.step[0]*m.step[0] + m.step[1]*m.step[1] + m.step[2]*m.step[2])
		moved := l > 0
		if !moved {
			l = max(math.Abs(m.step[AxisTurn]), math.Abs(m.step[AxisE]))
		}
		cruise, a := l/m.seconds, math.Inf(1)
		for i, s := range m.step {
			if s != 0 {
				cruise, a = min(cruise, speed[i]*l/math.Abs(s)), min(a, accel[i]*l/math.Abs(s))
			}
		}
		corner := 0.0
		if moved && beforeMoved {
			corner = min(cruise, beforeCruise)
			for i := range m.step {
				if j := math.Abs(m.step[i]/l - before.step[i]/beforeLen); j > 0 {
					corner = min(corner, accel[i]*0.01/j)
				}
			}
		}
		n := int(l/0.002) + 50
		for k := range n {
			bound := cruise
			if k == 0 {
				bound = corner
			}
			ds, top, acc = append(ds, l/float64(n)), append(top, bound), append(acc, a)
		}
		before, beforeLen, beforeCruise, beforeMoved = m, l, cruise, moved
	}
	top = append(top, 0)
	for i := len(ds) - 1; i >= 0; i-- {
		top[i] = min(top[i], math.Sqrt(top[i+1]*top[i+1]+2*acc[i]*ds[i]))
	}
	total := 0.0
	for i := range ds {
		top[i+1] = min(top[i+1], math.Sqrt(top[i]*top[i]+2*acc[i]*ds[i]))
		total += 2 * ds[i] / (top[i] + top[i+1])
	}
	return total
}

// randomMoves is what a print looks like, at random: beads, corners, travels,
// retractions, swivel-only moves.
func randomMoves(r *rand.Rand, n int) []timed {
	heading := 0.0
	var out []timed
	for range n {
		m := timed{}
		l := math.Exp(r.Float64()*6 - 3) // 0.05 to 20 mm
		switch k := r.IntN(20); {
		case k == 0:
			m.step[AxisE], l = -1, 1
			m.seconds = 1.0 / 35
		case k == 1:
			m.step[AxisTurn] = r.Float64()*180 - 90
			m.seconds = math.Abs(m.step[AxisTurn]) / 300
		default:
			heading += r.NormFloat64() * 0.3
			m.step = [Axes]float64{l * math.Cos(heading), l * math.Sin(heading), l * 0.2 * r.NormFloat64(), l * r.NormFloat64(), 0, l * 0.04}
			m.seconds = l / (20 + 100*r.Float64())
		}
		if m.step != [Axes]float64{} && m.seconds > 0 {
			out = append(out, m)
		}
	}
	return out
}

func TestTimeAgreesWithAStepByStepSimulation(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "seed"), 1))
		moves := randomMoves(r, rapid.IntRange(1, 40).Draw(rt, "moves"))
		c := testCard(t)
		e := NewEstimator(c)
		for _, m := range moves {
			e.Add(m.step, m.seconds)
		}
		if got, want := e.Total(), simulate(c, moves); math.Abs(got-want) > 0.02*want {
			rt.Fatalf("%g s, step by step %g", got, want)
		}
	})
}

func TestBoundedLookAheadAgreesOverManyMoves(t *testing.T) {
	c := testCard(t)
	moves := randomMoves(rand.New(rand.NewPCG(7, 7)), 5000)
	e := NewEstimator(c)
	for i, m := range moves {
		e.Add(m.step, m.seconds)
		if i == 2500 {
			e.Total() // must not disturb what follows
		}
	}
	if got, want := e.Total(), simulate(c, moves); math.Abs(got-want) > 0.02*want {
		t.Errorf("%g s, step by step %g", got, want)
	}
	if len(e.ramps) >= lookAhead {
		t.Errorf("%d moves wait; memory isn't bounded", len(e.ramps))
	}
}

func BenchmarkEstimate(b *testing.B) {
	e := NewEstimator(testCard(b))
	moves := randomMoves(rand.New(rand.NewPCG(1, 1)), 1000)
	for i := 0; b.Loop(); i++ {
		m := moves[i%len(moves)]
		e.Add(m.step, m.seconds)
	}
}
