package calibrate

import (
	"math"
	"strings"

	"conewright/geom/describe"
	"conewright/geom/machine"
	"conewright/geom/message"
	"conewright/geom/motion"

	"gonum.org/v1/gonum/spatial/r3"
)

// Sizes of the axis test, mm, degrees and shares.
const (
	testStep    = 20.  // how far an axis goes each way
	testClear   = 15.  // the least that the head keeps from bed and obstacles
	testLowest  = 40.  // of the tip over the bed, to begin with
	testHigher  = 10.  // how much higher is tried next
	testHighest = 400. // no desktop machine needs more
	testSlow    = 0.1  // of an axis' greatest speed
	testSamples = 12   // places of a move that are looked at
)

// seen says in English, in plain letters for a display, what describe.Seen codes.
var seen = map[string]string{
	"linear.right": "head goes right", "linear.left": "head goes left", "linear.back": "head goes back",
	"linear.front": "head goes to front", "linear.up": "head goes up", "linear.down": "head goes down",
	"belt.right": "belt runs right", "belt.left": "belt runs left", "belt.back": "belt runs back", "belt.front": "belt runs to front",
	"head.counter": "head turns counterclockwise", "head.clockwise": "head turns clockwise",
	"head.right": "head top leans right", "head.left": "head top leans left", "head.back": "head top leans back", "head.front": "head top leans to front",
	"bed.counter": "bed turns counterclockwise", "bed.clockwise": "bed turns clockwise",
	"bed.right": "bed right edge rises", "bed.left": "bed left edge rises", "bed.back": "bed back edge rises", "bed.front": "bed front edge rises",
}

// AxisTest returns a motion file that moves one axis at a time: cold, slow, raised,
// each up and back, then down and back, saying on the display (M117) what should be
// seen. It homes by G28, and never heats or extrudes. The error says why a card gives
// no safe room for it.
func AxisTest(card *machine.Card) ([]byte, error) {
	place, err := testPlace(card)
	if err != nil {
		return nil, err
	}
	t := tester{card: card, k: machine.NewKinematics(card)}
	t.text("; Conewright, axis test for " + strings.Map(oneLine, card.Name))
	t.text("; CAUTION: the machine moves by itself. Keep a hand on the power switch.")
	t.text("; Stop at once where it doesn't move as the display says.")
	t.text("; Follow the machine maker's instructions and local rules.")
	for _, l := range []string{"G21", "G90", "G94", "M104 S0", "M140 S0", "M107", "G28"} {
		t.text(l)
	}
	t.text("M117 raising")
	t.raise(place)
	for _, m := range describe.Moves(card) {
		for _, up := range []bool{true, false} {
			by := describe.Step(card, m, testStep, up)
			if by == 0 {
				continue
			}
			sign, what := "+", seen[describe.Seen(card, m)]
			if !up {
				sign, what = "-", "the other way"
			}
			t.text("M117 " + m.Letter + sign + ": " + what)
			t.text("G4 P2000")
			t.move(describe.Moved(place, m, by), m)
			t.move(place, m)
		}
	}
	t.text("M117 axis test done")
	return []byte(t.b.String()), nil
}

// tester writes the file.
type tester struct {
	card *machine.Card
	k    *machine.Kinematics
	b    strings.Builder
}

func (t *tester) text(s string) { t.b.WriteString(s + "\n") }

// raise lifts the head from where it homed, then brings each axis to its place.
func (t *tester) raise(place machine.Words) {
	up := describe.Move{Letter: "Z", Linear: 2, Turn: -1}
	t.move(place, up)
	for _, m := range describe.Moves(t.card) {
		if m != up {
			t.move(place, m)
		}
	}
}

// move writes the word of one axis, slowly.
func (t *tester) move(to machine.Words, m describe.Move) {
	c := t.card
	var value, speed float64
	decimals := c.Decimals.XYZ
	if m.Turn >= 0 {
		value, speed, decimals = to.Turn[m.Turn], t.k.Axes()[m.Turn].MaxSpeed, c.Decimals.Angle
	} else {
		value = [3]float64{to.X, to.Y, to.Z}[m.Linear]
		speed = [3]float64{c.MaxSpeed.X, c.MaxSpeed.Y, c.MaxSpeed.Z}[m.Linear]
	}
	line := motion.AppendWord([]byte("G1"), m.Letter[0], value, decimals)
	t.text(string(motion.AppendFeed(line, 60*testSlow*speed)))
}

// testPlace returns the lowest words over the middle of the bed where every move of
// the test is within travel and keeps the head clear.
func testPlace(card *machine.Card) (machine.Words, error) {
	k := machine.NewKinematics(card)
	start := describe.TestPlace(card)
	tip := k.Tip(start)
	why := message.Errorf("calibrate: an axis test needs %g mm of travel each way about the middle of the bed: see the card's travel", testStep)
	for z := testLowest; z <= testHighest; z += testHigher {
		w := k.Words(r3.Vec{X: tip.X, Y: tip.Y, Z: z}, k.Home())
		travels, free := true, true
		for _, m := range describe.Moves(card) {
			for _, up := range []bool{true, false} {
				by := describe.Step(card, m, testStep, up)
				for i := range testSamples + 1 {
					at := describe.Moved(w, m, by*float64(i)/testSamples)
					travels = travels && within(&card.Travel, at)
					free = free && headClear(card, k, at)
				}
			}
		}
		if travels && free {
			return w, nil
		}
		if travels {
			why = message.Errorf("calibrate: an axis test finds no height at which the head keeps %g mm from the bed and the obstacles: measure the card's profile, boxes and axes again", testClear)
		}
	}
	return machine.Words{}, why
}

func within(t *machine.Travel, w machine.Words) bool {
	return w.X >= t.X[0] && w.X <= t.X[1] && w.Y >= t.Y[0] && w.Y <= t.Y[1] && w.Z >= t.Z[0] && w.Z <= t.Z[1]
}

// headClear reports that the head keeps clear of the bed, a plane without end, and of
// balls about the obstacles.
func headClear(card *machine.Card, k *machine.Kinematics, w machine.Words) bool {
	tilt := card.Head.Tilt * math.Pi / 180
	nozzle := r3.Vec{X: math.Sin(tilt), Z: math.Cos(tilt)}
	clear := func(p r3.Vec, radius float64) bool { // of a ball of the head
		at := k.HeadAt(w, p)
		if card.ToPart(w.Turn, at).Z-radius < testClear {
			return false
		}
		for _, o := range card.Obstacles {
			lo, hi := r3.Vec{X: o.Min[0], Y: o.Min[1], Z: o.Min[2]}, r3.Vec{X: o.Max[0], Y: o.Max[1], Z: o.Max[2]}
			middle := r3.Scale(0.5, r3.Add(lo, hi))
			if o.On == machine.OnBed {
				middle = k.BedAt(w.Turn, middle)
			}
			if r3.Norm(r3.Sub(at, middle))-radius-r3.Norm(r3.Sub(hi, lo))/2 < testClear {
				return false
			}
		}
		return true
	}
	for _, p := range card.Head.Profile {
		if !clear(r3.Scale(p[0], nozzle), p[1]) {
			return false
		}
	}
	for _, b := range card.Head.Boxes {
		for i := range 8 {
			corner := r3.Vec{X: b.Min[0], Y: b.Min[1], Z: b.Min[2]}
			if i&1 != 0 {
				corner.X = b.Max[0]
			}
			if i&2 != 0 {
				corner.Y = b.Max[1]
			}
			if i&4 != 0 {
				corner.Z = b.Max[2]
			}
			if !clear(corner, 0) {
				return false
			}
		}
	}
	return true
}
