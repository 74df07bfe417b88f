package machine

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// anyUpright returns a card with one turning axis along z, on the head or the bed.
func anyUpright(rng *rand.Rand) *Card {
	c := Defaults()
	c.Head.Tilt = 45 * rng.Float64()
	c.Head.Tip = [3]float64{20 * rng.NormFloat64(), 20 * rng.NormFloat64(), 20 * rng.NormFloat64()}
	a := Rotary{Letter: "C", On: OnHead, About: [3]float64{0, 0, 1}, At: [3]float64{50 * rng.NormFloat64(), 50 * rng.NormFloat64(), 9},
		Sense: 1, Zero: 100 * rng.NormFloat64(), MaxSpeed: 180, MaxAccel: 1000}
	if rng.IntN(2) == 0 {
		a.On = OnBed
	}
	if rng.IntN(2) == 0 {
		a.About[2] = -1
	}
	if rng.IntN(2) == 0 {
		a.Sense = -1
	}
	c.Rotary = []Rotary{a}
	return &c
}

// Pose and nozzle of an upright axis are those of the card's matrices, and Words
// lead back.
func TestUprightAxesStandWhereMatricesSay(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 7))
	for range 3000 {
		c := anyUpright(rng)
		w := Words{X: 200 * rng.Float64(), Y: 200 * rng.Float64(), Z: 100 * rng.Float64(), Turn: Turn{720 * rng.NormFloat64()}}
		tip, axis := byMatrices(c, w)
		p := c.Pose(w)
		if d := r3.Norm(r3.Sub(p.Tip, tip)); d > 1e-8 {
			t.Fatalf("%+v at %+v: tip %v, by matrices %v", c.Rotary[0], w, p.Tip, tip)
		}
		if d := r3.Norm(r3.Sub(c.NozzleAxis(p.Azimuth), axis)); d > 1e-8 {
			t.Fatalf("%+v at %+v: nozzle %v, by matrices %v", c.Rotary[0], w, c.NozzleAxis(p.Azimuth), axis)
		}
		back := c.Words(p)
		if math.Abs(back.X-w.X)+math.Abs(back.Y-w.Y)+math.Abs(back.Z-w.Z)+math.Abs(back.Turn[0]-w.Turn[0]) > 1e-7 {
			t.Fatalf("%+v: words %+v come back as %+v", c.Rotary[0], w, back)
		}
		s := c.AsSwivel()
		if azimuth := s.Sense * (w.Turn[0] - s.Zero) * math.Pi / 180; math.Abs(azimuth-p.Azimuth) > 1e-9 {
			t.Fatalf("azimuth %g as a swivel, %g as a pose", azimuth, p.Azimuth)
		}
		if c.WordsArePlaces() {
			t.Fatal("an axis elsewhere leaves the words the tip's places")
		}
	}
}

// What the tip of a turning bed reaches lies in the part's travel.
func TestPartTravelHoldsAllThatATurningBedBrings(t *testing.T) {
	rng := rand.New(rand.NewPCG(32, 7))
	for range 3000 {
		c := anyUpright(rng)
		c.Rotary[0].On = OnBed
		p := c.Pose(Words{
			X: c.Travel.X[0] + rng.Float64()*(c.Travel.X[1]-c.Travel.X[0]), Y: c.Travel.Y[0] + rng.Float64()*(c.Travel.Y[1]-c.Travel.Y[0]),
			Turn: Turn{360 * rng.Float64()},
		})
		t2 := c.PartTravel()
		if p.Tip.X < t2.X[0] || p.Tip.X > t2.X[1] || p.Tip.Y < t2.Y[0] || p.Tip.Y > t2.Y[1] {
			t.Fatalf("tip %v beyond %v", p.Tip, t2)
		}
	}
}

func TestCardsWithOtherAxesHaveNoSwivel(t *testing.T) {
	level := Rotary{Letter: "A", On: OnBed, About: [3]float64{1, 0, 0}, Sense: 1}
	upright := Rotary{Letter: "C", On: OnBed, About: [3]float64{0, 0, 1}, Sense: 1}
	for name, c := range map[string]*Card{
		"level": {Rotary: []Rotary{level}}, "none": {},
		"two, the outer one level": {Rotary: []Rotary{upright, level}},
	} {
		if c.Swivels() || c.AsSwivel() != nil {
			t.Errorf("%s: has a swivel", name)
		}
	}
	for _, on := range []string{OnHead, OnBed} {
		upright.On = on
		plain := &Card{Rotary: []Rotary{upright}, Linear: &Linear{X: [3]float64{1, 0, 0}, Y: [3]float64{0, 1, 0}, Z: [3]float64{0, 0, 1}}}
		if _, bed := plain.TurningBed(); !plain.Swivels() || bed != (on == OnBed) {
			t.Errorf("on the %s: no swivel, or a wrong one", on)
		}
	}
}
