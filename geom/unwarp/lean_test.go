package unwarp_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"conewright/geom/field"
	"conewright/geom/machine"
	"conewright/geom/readback"
	"conewright/geom/unwarp"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// leaningCards are the built-in cards on which an axis leans the head.
var leaningCards = []string{"two-axis-head", "head-and-bed", "trunnion"}

// A rounded cone of 45 degrees about (125, 105), by CONTRACT's formulas: there the
// shells lie level, and the axis that turns the azimuth has no effect.
const poleRound = 5.0

var pole = r2.Vec{X: 125, Y: 105}

func poleLift(p r2.Vec) float64 {
	r := r2.Norm(r2.Sub(p, pole))
	return math.Sqrt(r*r+poleRound*poleRound) - poleRound
}

func poleNormal(p r2.Vec) r3.Vec {
	d := r2.Sub(p, pole)
	k := 1 / math.Sqrt(r2.Norm2(d)+poleRound*poleRound)
	return r3.Unit(r3.Vec{X: k * d.X, Y: k * d.Y, Z: 1})
}

// poleBeads are the ends of beads of 20 mm that pass within far of a place, at random.
func poleBeads(n int, by r2.Vec, far float64) (ends [][2]r2.Vec) {
	r := rand.New(rand.NewPCG(3, 4))
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * r.Float64())
		d := far * r.Float64()
		if i%10 == 0 {
			d = 0
		}
		at := r2.Add(r2.Add(pole, by), r2.Vec{X: -d * sin, Y: d * cos})
		half := r2.Vec{X: 10 * cos, Y: 10 * sin}
		ends = append(ends, [2]r2.Vec{r2.Sub(at, half), r2.Add(at, half)})
	}
	return ends
}

const poleHigh = 60.0 // planar height of the beads, mm

// planarOf writes beads as planar motion, 40 mm/s.
func planarOf(ends [][2]r2.Vec) string {
	var text strings.Builder
	for i, e := range ends {
		fmt.Fprintf(&text, "G1 X%.3f Y%.3f Z%g F7200\nG1 X%.3f Y%.3f E%d F2400\n", e[0].X, e[0].Y, poleHigh, e[1].X, e[1].Y, i+1)
	}
	return text.String()
}

// leastSeconds is how long the axes take at least to lay beads square all along, at
// 40 mm/s or slower: each axis at its greatest speed where it has farthest to go.
func leastSeconds(card *machine.Card, ends [][2]r2.Vec, layer float64) (sum float64) {
	const steps = 1000
	limits := []float64{card.MaxSpeed.X, card.MaxSpeed.Y, card.MaxSpeed.Z}
	for _, a := range card.Turning() {
		limits = append(limits, a.MaxSpeed)
	}
	for _, e := range ends {
		var last []float64
		var tip, lastTip r3.Vec
		for i := range steps + 1 {
			p := r2.Add(e[0], r2.Scale(float64(i)/steps, r2.Sub(e[1], e[0])))
			n := poleNormal(p)
			tip = r3.Add(r3.Vec{X: p.X, Y: p.Y, Z: poleHigh - layer/2 - poleLift(p)}, r3.Scale(layer/2*n.Z, n))
			d := r2.Sub(p, pole)
			w := card.Words(machine.Pose{Tip: tip, Azimuth: math.Atan2(d.Y, d.X), Lean: math.Acos(n.Z)})
			now := []float64{w.X, w.Y, w.Z, w.Turn[0], w.Turn[1]}
			if i > 0 {
				t := r3.Norm(r3.Sub(tip, lastTip)) / 40
				for k, limit := range limits {
					by := math.Abs(now[k] - last[k])
					if k > 2 {
						by = math.Abs(math.Remainder(by, 360))
					}
					t = math.Max(t, by/limit)
				}
				sum += t
			}
			last, lastTip = now, tip
		}
	}
	return sum
}

// words returns a step's words at k of its way.
func words(s *readback.Step, k float64) machine.Words {
	a, b := &s.Words[0], &s.Words[1]
	w := machine.Words{X: a.X + k*(b.X-a.X), Y: a.Y + k*(b.Y-a.Y), Z: a.Z + k*(b.Z-a.Z)}
	for i := range w.Turn {
		w.Turn[i] = a.Turn[i] + k*(b.Turn[i]-a.Turn[i])
	}
	return w
}

// Near a pole, where an axis has no effect: a thousand random beads through and beside
// it keep their places, stand square to their shells, no axis goes faster than it may,
// and they take little longer than the axes need for that.
func TestBeadsNearAPoleHoldPlaceSquareAndSpeed(t *testing.T) {
	beads := 1000
	if testing.Short() {
		beads = 60
	}
	z := &unwarp.Zone{Name: "z", Field: field.NewCone(math.Pi/4, false, pole, poleRound), LayerHeight: 0.28}
	for _, name := range leaningCards {
		t.Run(name, func(t *testing.T) {
			card := builtin(t, name)
			for _, by := range []r2.Vec{{}, {X: 20}} {
				ends := poleBeads(beads, by, 2)
				took, least := checkPole(t, card, z, planarOf(ends)), leastSeconds(card, ends, z.LayerHeight)
				const most = 1.1 // times as long
				t.Logf("%d beads %.0f mm from the pole take %.0f s, the axes need %.0f s", beads, by.X, took, least)
				if took > most*least {
					t.Errorf("beads %.0f mm from the pole take %.2f times as long as the axes need", by.X, took/least)
				}
			}
		})
	}
}

// checkPole corrects beads and returns how long laying them takes.
func checkPole(t *testing.T, card *machine.Card, z *unwarp.Zone, planar string) (seconds float64) {
	t.Helper()
	_, _, steps := corrected(t, card, z, planar)
	kin := machine.NewKinematics(card)
	axes := card.Turning()
	for i := range steps {
		s := &steps[i]
		for k, a := range axes {
			if v := math.Abs(s.Words[1].Turn[k] - s.Words[0].Turn[k]); s.Known && v > a.MaxSpeed*s.Seconds*1.005+1e-6 {
				t.Fatalf("line %d: axis %s turns %.3f degrees in %.5f s", s.Line, a.Letter, v, s.Seconds)
			}
		}
		if !s.Lays() {
			continue
		}
		seconds += s.Seconds
		for k := 0.0; k <= 1; k += 0.125 {
			stand := kin.Stand(words(s, k))
			// A square tip stands half a thickness over the middle of its bead.
			n := poleNormal(flat(stand.Tip))
			for range 5 {
				n = poleNormal(flat(r3.Sub(stand.Tip, r3.Scale(z.LayerHeight/2*n.Z, n))))
			}
			off := math.Acos(math.Min(1, r3.Dot(stand.Axis, n))) * 180 / math.Pi
			if most := 0.5; off > most && (k == 0 || k == 1) {
				t.Fatalf("line %d: the nozzle stands %.2f degrees off square", s.Line, off)
			}
			m := r3.Sub(stand.Tip, r3.Scale(z.LayerHeight/2*n.Z/r3.Dot(stand.Axis, n), stand.Axis))
			if high := math.Abs(m.Z + z.LayerHeight/2 + poleLift(flat(m)) - poleHigh); high > tolerance {
				t.Fatalf("line %d: the bead lies %.4f mm off its shell", s.Line, high)
			}
		}
	}
	return seconds
}
