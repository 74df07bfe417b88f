package describe

import (
	"math"
	"testing"

	"conewright/geom/machine"

	"gonum.org/v1/gonum/spatial/r3"
)

// Each kind begins with a card that checks and is told as that kind again.
func TestAKindBeginsWithACardOfItsOwn(t *testing.T) {
	for _, kind := range Kinds() {
		c := Begin(kind)
		if c == nil || c.Check() != nil || KindOf(c) != kind {
			t.Errorf("%s: begins with a card of kind %q", kind, KindOf(c))
		}
	}
}

// What is said to be seen is what CONTRACT's formulas do: a point of the moving
// body, seen before and after a small growing word.
func TestWhatIsSeenIsWhatTheWordsDo(t *testing.T) {
	for _, kind := range Kinds() {
		for _, sense := range []float64{1, -1} {
			for _, alongX := range []bool{true, false} {
				c := Begin(kind)
				for i, a := range Axes(c) {
					*a.Sense = sense
					if c.Swivel == nil && !Upright(a.About) {
						LayLevel(&c.Rotary[i], alongX)
					}
				}
				k, w := machine.NewKinematics(c), TestPlace(c)
				for _, m := range Moves(c) {
					next := Moved(w, m, 1)
					head := func(p r3.Vec) r3.Vec { return r3.Sub(k.HeadAt(next, p), k.HeadAt(w, p)) }
					bed := func(p r3.Vec) r3.Vec { return r3.Sub(k.BedAt(next.Turn, p), k.BedAt(w.Turn, p)) }
					x, y := c.BedCentre()
					holds := map[string]bool{
						"linear.right": head(r3.Vec{}).X > 0.9, "linear.back": head(r3.Vec{}).Y > 0.9, "linear.up": head(r3.Vec{}).Z > 0.5,
						"belt.left":    head(r3.Vec{}).X > 0.9, // the head is drawn to move; the belt runs the other way
						"head.counter": head(r3.Vec{X: 50}).Y > head(r3.Vec{X: -50}).Y, "head.clockwise": head(r3.Vec{X: 50}).Y < head(r3.Vec{X: -50}).Y,
						"head.right": head(r3.Vec{Z: 200}).X > 0.1, "head.left": head(r3.Vec{Z: 200}).X < -0.1,
						"head.back": head(r3.Vec{Z: 200}).Y > 0.1, "head.front": head(r3.Vec{Z: 200}).Y < -0.1,
						"bed.counter": bed(r3.Vec{X: x + 500, Y: y}).Y > 0.1, "bed.clockwise": bed(r3.Vec{X: x + 500, Y: y}).Y < -0.1,
						"bed.right": bed(r3.Vec{X: x + 500, Y: y}).Z > 0.1, "bed.left": bed(r3.Vec{X: x - 500, Y: y}).Z > 0.1,
						"bed.back": bed(r3.Vec{X: x, Y: y + 500}).Z > 0.1, "bed.front": bed(r3.Vec{X: x, Y: y - 500}).Z > 0.1,
					}
					if seen := Seen(c, m); !holds[seen] {
						t.Errorf("%s, sense %g, %s: said to be %q", kind, sense, m.Letter, seen)
					}
				}
			}
		}
	}
}

// A belt's letters can be exchanged: the same place is then told by other words.
func TestABeltsLettersCanBeExchanged(t *testing.T) {
	plain := Begin(Belt)
	for _, belt := range letters {
		for _, rise := range letters {
			c := Begin(Belt)
			SetGantry(c, Gantry{belt, rise, 35})
			g, ok := GantryOf(c)
			if err := c.Check(); err != nil || !ok || g.Belt != belt || belt != rise && g.Rise != rise || math.Abs(g.Angle-35) > 1e-9 {
				t.Fatalf("%s, %s: %+v, %v, %v", belt, rise, g, ok, err)
			}
			SetGantry(c, Gantry{"X", "Z", 45})
			if c.Travel != plain.Travel || c.MaxSpeed != plain.MaxSpeed {
				t.Errorf("%s, %s: limits don't come back: %+v", belt, rise, c.Travel)
			}
		}
	}
}
