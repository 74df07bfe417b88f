package unwarp_test

import (
	"math"
	"testing"

	"conewright/geom/field"
	"conewright/geom/machine"
	"conewright/geom/placement"
	"conewright/geom/unwarp"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// turningBed is swivel-45 with its head held and a bed that turns in its place.
func turningBed(t *testing.T) *machine.Card {
	card := *builtin(t, "swivel-45")
	card.Swivel = nil
	card.Rotary = []machine.Rotary{{Letter: "A", On: machine.OnBed, About: [3]float64{0, 0, 1}, At: [3]float64{140, 95, 0},
		Sense: -1, Zero: 15, MaxSpeed: 180, MaxAccel: 1200}}
	return &card
}

// between returns the pose of a card's step at k of its words' way.
func between(card *machine.Card, a, b machine.Words, k float64) machine.Pose {
	return card.Pose(machine.Words{X: a.X + k*(b.X-a.X), Y: a.Y + k*(b.Y-a.Y), Z: a.Z + k*(b.Z-a.Z), Turn: machine.Turn{a.Turn[0] + k*(b.Turn[0]-a.Turn[0])}})
}

// While a bed turns, all that the controller interpolates lies on the shell and
// on the planar line.
func TestOnATurningBedTheTipFollowsTheShell(t *testing.T) {
	card := turningBed(t)
	f := outward(45)
	z := &unwarp.Zone{Name: "z", Field: f, LayerHeight: 0.28}
	_, _, steps := corrected(t, card, z, "G1 X90 Y104 Z40 F6000\nG1 X112 Y101 E5 F1200\n")
	laid := 0
	for i := range steps {
		st := &steps[i]
		if !st.Lays() {
			continue
		}
		laid++
		for k := 0.0; k <= 1; k += 0.05 {
			tip := between(card, st.Words[0], st.Words[1], k).Tip
			if off := math.Abs(tip.Z - (40 - f.At(flat(tip)))); off > tolerance {
				t.Fatalf("line %d: %.4f mm off the shell", st.Line, off)
			}
		}
	}
	if laid < 10 {
		t.Fatalf("%d pieces", laid)
	}
}

// The same motion on a swivel and on a turning bed lays the same beads in the
// part's frame: each strays by the tolerance at most, to whichever side.
func TestSwivelAndTurningBedLayTheSameBeads(t *testing.T) {
	z := &unwarp.Zone{Name: "z", Field: outward(45), LayerHeight: 0.28}
	along := func(card *machine.Card) (ends []r3.Vec, length float64) {
		_, _, steps := corrected(t, card, z, rings(3))
		for i := range steps {
			st := &steps[i]
			if !st.Lays() {
				continue
			}
			for k := 0.05; k <= 1; k += 0.05 {
				ends = append(ends, between(card, st.Words[0], st.Words[1], k).Tip)
			}
			length += r3.Norm(r3.Sub(st.To.Tip, st.From.Tip))
		}
		return ends, length
	}
	swivel, a := along(builtin(t, "swivel-45"))
	bed, b := along(turningBed(t))
	if math.Abs(a/b-1) > 1e-3 {
		t.Errorf("%.2f mm by the swivel, %.2f mm by the bed", a, b)
	}
	for _, p := range bed {
		near := math.Inf(1)
		for i := 1; i < len(swivel); i++ {
			d := r3.Sub(swivel[i], swivel[i-1])
			k := 0.0
			if l := r3.Norm2(d); l > 0 && l < 4 {
				k = math.Max(0, math.Min(1, r3.Dot(r3.Sub(p, swivel[i-1]), d)/l))
			}
			near = math.Min(near, r3.Norm(r3.Sub(p, r3.Add(swivel[i-1], r3.Scale(k, d)))))
		}
		if near > 2*tolerance {
			t.Fatalf("the bed lays at %v, %.4f mm from all that the swivel lays", p, near)
		}
	}
}

// A bead that passes some hundredths of a millimetre beside a bend of the line turns
// the bed by several degrees a thousandth of its way. What lies between two such
// poses comes from the turning alone, and stays as near the planar line (y = 105.02)
// as all else.
func TestBesideABendTheBedTurnsInSmallSteps(t *testing.T) {
	card := turningBed(t)
	line := []r2.Vec{{X: 67, Y: 95}, {X: 85, Y: 105}, {X: 103, Y: 95}}
	f := field.NewRidge(10*math.Pi/180, false, line, 0)
	z := &unwarp.Zone{Name: "z", Field: f, LayerHeight: 0.28}
	_, _, steps := corrected(t, card, z, "G1 X84 Y105.02 Z40 F6000\nG1 X86 E1 F1200\n")
	laid, worst := 0, 0.0
	for i := range steps {
		st := &steps[i]
		if !st.Lays() {
			continue
		}
		laid++
		for k := 0.0; k <= 1; k += 0.05 {
			pose := between(card, st.Words[0], st.Words[1], k)
			bead := placement.Middle(&f, z.LayerHeight, pose.Tip, card.Axis(pose))
			worst = math.Max(worst, math.Abs(bead.Y-105.02))
		}
	}
	if laid < 10 || worst > tolerance {
		t.Fatalf("%d pieces, as far as %.4f mm beside the planar line", laid, worst)
	}
}
