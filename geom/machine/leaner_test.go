package machine

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/optimize"
	"gonum.org/v1/gonum/spatial/r3"
)

// anyLeaner returns a card with an axis that turns the head about z, as the part
// sees it, and one that leans it: a head with two axes, one axis on the head and
// one on the bed, or a bed that tilts and turns.
func anyLeaner(rng *rand.Rand) *Card {
	c := Defaults()
	c.Head.Tip = [3]float64{20 * rng.NormFloat64(), 20 * rng.NormFloat64(), 20 * rng.NormFloat64()}
	axis := func(letter, on string, about [3]float64) Rotary {
		a := Rotary{Letter: letter, On: on, About: about, At: [3]float64{50 * rng.NormFloat64(), 50 * rng.NormFloat64(), 50 * rng.NormFloat64()},
			Sense: 1 - 2*float64(rng.IntN(2)), Zero: 100 * rng.NormFloat64(), MaxSpeed: 180, MaxAccel: 1000}
		return a
	}
	sin, cos := math.Sincos(2 * math.Pi * rng.Float64())
	if rng.IntN(2) == 0 {
		sin, cos = float64(rng.IntN(2)), 0
		cos = 1 - sin
	}
	up, level := [3]float64{0, 0, 1 - 2*float64(rng.IntN(2))}, [3]float64{cos, sin, 0}
	switch rng.IntN(3) {
	case 0:
		c.Rotary = []Rotary{axis("C", OnHead, up), axis("B", OnHead, level)}
	case 1:
		c.Rotary = []Rotary{axis("B", OnHead, level), axis("C", OnBed, up)}
	case 2:
		c.Rotary = []Rotary{axis("A", OnBed, level), axis("C", OnBed, up)}
	}
	for i := range c.Rotary {
		if a := &c.Rotary[i]; a.About[2] == 0 && rng.IntN(2) == 0 {
			a.Range = &[2]float64{a.Zero - 10 - 90*rng.Float64(), a.Zero + 10 + 90*rng.Float64()}
		}
	}
	return &c
}

// Pose and nozzle are those of the card's matrices, and Words lead back.
func TestLeaningHeadsStandWhereMatricesSay(t *testing.T) {
	rng := rand.New(rand.NewPCG(33, 7))
	for range 5000 {
		c := anyLeaner(rng)
		w := Words{X: 200 * rng.Float64(), Y: 200 * rng.Float64(), Z: 100 * rng.Float64(), Turn: Turn{720 * rng.NormFloat64(), 720 * rng.NormFloat64()}}
		tip, axis := byMatrices(c, w)
		p := c.Pose(w)
		if d := r3.Norm(r3.Sub(p.Tip, tip)) + r3.Norm(r3.Sub(c.Axis(p), axis)); d > 1e-8 {
			t.Fatalf("%+v at %+v: tip %v along %v, by matrices %v along %v", c.Rotary, w, p.Tip, c.Axis(p), tip, axis)
		}
		back := c.Words(p)
		if math.Abs(back.X-w.X)+math.Abs(back.Y-w.Y)+math.Abs(back.Z-w.Z)+math.Abs(back.Turn[0]-w.Turn[0])+math.Abs(back.Turn[1]-w.Turn[1]) > 1e-7 {
			t.Fatalf("%+v: words %+v come back as %+v", c.Rotary, w, back)
		}
		if z, a := c.AsSwivel(), c.AzimuthIndex(); z.Letter != c.Rotary[a].Letter || math.Abs(c.AzimuthOf(w.Turn[a])-p.Azimuth) > 1e-9 || math.Abs(c.SwivelWord(p.Azimuth)-w.Turn[a]) > 1e-7 {
			t.Fatalf("%+v: another azimuth as a swivel than as a pose", c.Rotary)
		}
		s := c.kinematics()
		stand := s.Stand(w)
		box := Box{Min: [3]float64{-5, -7, 30}, Max: [3]float64{9, 8, 40}}
		c.Head.Boxes = []Box{box}
		seen := c.HeadSeen().Boxes[0].Leaning(p.Lean)
		sin, cos := math.Sincos(p.Azimuth)
		for range 4 {
			q := r3.Vec{X: -5 + 14*rng.Float64(), Y: -7 + 15*rng.Float64(), Z: 30 + 10*rng.Float64()}
			q = r3.Add(r3.Add(r3.Scale(q.X, stand.Head[0]), r3.Scale(q.Y, stand.Head[1])), r3.Scale(q.Z, stand.Head[2]))
			q = r3.Vec{X: q.X*cos + q.Y*sin, Y: q.Y*cos - q.X*sin, Z: q.Z}
			const hair = 1e-9
			if q.X < seen.Min[0]-hair || q.X > seen.Max[0]+hair || q.Y < seen.Min[1]-hair || q.Y > seen.Max[1]+hair || q.Z < seen.Min[2]-hair || q.Z > seen.Max[2]+hair {
				t.Fatalf("%+v: a place of the head's box, %v, isn't in %v", c.Rotary, q, seen)
			}
		}
	}
}

// The pose that is asked for brings the nozzle as near to the wanted direction as
// a numerical search over the lean's whole range finds.
func TestTheLeanIsTheNearestThatTheAxesAllow(t *testing.T) {
	rng := rand.New(rand.NewPCG(34, 7))
	for range 300 {
		c := anyLeaner(rng)
		angle, azimuth := rng.Float64()*80*math.Pi/180, 2*math.Pi*rng.Float64()
		sin, cos := math.Sincos(azimuth)
		st, ct := math.Sincos(angle)
		wanted := r3.Vec{X: st * cos, Y: st * sin, Z: ct}
		got := r3.Dot(c.Axis(Pose{Azimuth: azimuth, Lean: c.LeanOn(angle)}), wanted)
		level, _ := c.LeanAxis()
		best := math.Inf(-1)
		for start := range 6 {
			result, err := optimize.Minimize(optimize.Problem{Func: func(x []float64) float64 {
				words := Words{}
				for i := range c.Rotary {
					words.Turn[i] = x[i]
					if r := c.Rotary[i].Range; r != nil {
						words.Turn[i] = math.Max(r[0], math.Min(r[1], x[i]))
					}
				}
				_, axis := byMatrices(c, words)
				return -r3.Dot(axis, wanted)
			}}, []float64{c.Rotary[0].Zero + 60*float64(start), c.Rotary[1].Zero + 50*float64(start%3-1)}, nil, &optimize.NelderMead{})
			if err != nil {
				t.Fatal(err)
			}
			best = math.Max(best, -result.F)
		}
		if got < best-1e-6 {
			t.Fatalf("%+v, lean range %v: the nozzle stands %.4f degrees off, a search finds %.4f", c.Rotary, level.Range,
				math.Acos(math.Min(1, got))*180/math.Pi, math.Acos(math.Min(1, best))*180/math.Pi)
		}
	}
}

func BenchmarkWordsOfALeaningHead(b *testing.B) {
	c := anyLeaner(rand.New(rand.NewPCG(35, 7)))
	p := Pose{Tip: r3.Vec{X: 100, Y: 90, Z: 20}, Lean: 0.5}
	for b.Loop() {
		p.Azimuth += 0.01
		p.Lean = c.LeanOn(0.5)
		c.Words(p)
	}
}
