package clearance

import (
	"math"
	"math/rand/v2"
	"testing"

	"conewright/geom/machine"

	"gonum.org/v1/gonum/spatial/r3"
)

// turntable is a card whose bed turns about z at the origin, with a post beside it and
// a clip on it.
func turntable(boxes ...machine.Box) *machine.Card {
	c := machine.Defaults()
	c.Rotary = []machine.Rotary{{Letter: "C", On: machine.OnBed, About: [3]float64{0, 0, 1}, Sense: 1, MaxSpeed: 180, MaxAccel: 1000}}
	c.Obstacles = boxes
	return &c
}

func turnedTo(degrees float64) machine.Words {
	return machine.Words{Turn: machine.Turn{degrees}}
}

var post = machine.Box{Min: [3]float64{40, -3, 0}, Max: [3]float64{46, 3, 50}}

// What is printed away from a post meets it only when the bed turns it there, and only
// if it is printed by then.
func TestABedCarriesWhatIsPrintedIntoAPost(t *testing.T) {
	wall := [2]r3.Vec{{X: -43, Z: 5}, {X: -43, Y: 1, Z: 5}} // opposite the post
	lay := func(b *BedSweep, at float64, line int) {
		b.Add(turnedTo(at), turnedTo(at), wall[0], wall[1], true, line)
	}
	turn := func(b *BedSweep, from, to float64, line int) {
		b.Add(turnedTo(from), turnedTo(to), r3.Vec{}, r3.Vec{}, false, line)
	}
	for _, c := range []struct {
		name string
		do   func(b *BedSweep)
		line int // 0: no collision
	}{
		{"stands still", func(b *BedSweep) { lay(b, 0, 1) }, 0},
		{"turns too little", func(b *BedSweep) { lay(b, 0, 1); turn(b, 0, 160, 2) }, 0},
		{"turns there", func(b *BedSweep) { lay(b, 0, 1); turn(b, 0, 200, 2) }, 2},
		{"turns there the other way", func(b *BedSweep) { lay(b, 0, 1); turn(b, 0, -180, 2) }, 2},
		{"turned before it was printed", func(b *BedSweep) { turn(b, 0, 360, 1); lay(b, 360, 2) }, 0},
		{"is printed inside the post", func(b *BedSweep) { lay(b, 180, 1) }, 1},
	} {
		b := NewBedSweep(turntable(post))
		c.do(b)
		found := b.Report()
		if (len(found) > 0) != (c.line > 0) || c.line > 0 && (found[0].Line != c.line || found[0].OnBed != -1 || found[0].Obstacle != 0) {
			t.Errorf("%s: %+v, want line %d", c.name, found, c.line)
		}
	}
}

func TestABedCarriesAnObstacleIntoAnother(t *testing.T) {
	clip := machine.Box{Min: [3]float64{-5, 38, -1}, Max: [3]float64{5, 44, 4}, On: machine.OnBed}
	for to, want := range map[float64]bool{-60: false, -90: true, 90: false, 270: true} {
		b := NewBedSweep(turntable(post, clip))
		b.Add(turnedTo(0), turnedTo(to), r3.Vec{}, r3.Vec{}, false, 7)
		found := b.Report()
		if (len(found) == 1) != want || want && (found[0].OnBed != 1 || found[0].Line != 7) {
			t.Errorf("turned to %g: %+v", to, found)
		}
	}
	if NewBedSweep(turntable(clip)) != nil {
		t.Error("nothing stands beside the bed, and yet there is something to look for")
	}
}

// On a bed that tilts and turns: random beads and turns against places of the post
// that are brought to the part one by one, by the contract's formula. Between what
// surely meets and what surely doesn't, either will do.
func TestBedSweepAgreesWithBruteForce(t *testing.T) {
	card := machine.Defaults()
	card.Rotary = []machine.Rotary{
		{Letter: "A", On: machine.OnBed, About: [3]float64{1, 0, 0}, At: [3]float64{0, 0, 20}, Sense: 1, MaxSpeed: 60, MaxAccel: 400},
		{Letter: "C", On: machine.OnBed, About: [3]float64{0, 0, 1}, Sense: 1, MaxSpeed: 180, MaxAccel: 1000},
	}
	card.Obstacles = []machine.Box{{Min: [3]float64{-20, 25, 10}, Max: [3]float64{20, 40, 60}}}
	r := rand.New(rand.NewPCG(5, 6))
	seen := map[bool]int{}
	for range 900 {
		b := NewBedSweep(&card)
		turn := machine.Turn{90 * r.Float64(), 360 * r.Float64()}
		at := r3.Vec{X: 60 * (r.Float64() - 0.5), Y: 60 * (r.Float64() - 0.5), Z: 40 * r.Float64()}
		b.Add(machine.Words{Turn: turn}, machine.Words{Turn: turn}, at, at, true, 1)
		found := len(b.Report()) > 0
		// T_1(T_2(p)): about z, then about the level axis 20 mm over the bed.
		sin, cos := math.Sincos(turn[1] * math.Pi / 180)
		p := r3.Vec{X: at.X*cos - at.Y*sin, Y: at.X*sin + at.Y*cos, Z: at.Z - 20}
		sin, cos = math.Sincos(turn[0] * math.Pi / 180)
		p = r3.Vec{X: p.X, Y: p.Y*cos - p.Z*sin, Z: p.Y*sin + p.Z*cos + 20}
		o := &card.Obstacles[0]
		inside := math.Inf(1) // how far inside the obstacle
		for i, v := range [3]float64{p.X, p.Y, p.Z} {
			inside = math.Min(inside, math.Min(v-o.Min[i], o.Max[i]-v))
		}
		if found && inside < -4 || !found && inside > 0 {
			t.Fatalf("at %v, turned by %v: found %v, %.2f mm inside", at, turn, found, inside)
		}
		seen[found]++
	}
	if seen[true] < 20 || seen[false] < 20 {
		t.Errorf("one-sided: %v", seen)
	}
}
