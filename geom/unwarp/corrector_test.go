package unwarp_test

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"conewright/geom/field"
	"conewright/geom/machine"
	"conewright/geom/motion"
	"conewright/geom/readback"
	"conewright/geom/unwarp"

	"gonum.org/v1/gonum/spatial/r2"
)

// corrected runs planar text through a corrector.
func corrected(t testing.TB, card *machine.Card, z *unwarp.Zone, planar string) (string, unwarp.Stats, []readback.Step) {
	t.Helper()
	var out bytes.Buffer
	c := unwarp.New(&out, unwarp.Options{Card: card, Tolerance: tolerance, TravelSpeed: 120})
	c.Begin([]string{"a test"}, "G28\nM104 S210\nG1 X5 E9 F600")
	c.Zone(z)
	if _, err := motion.Read(context.Background(), strings.NewReader(planar), motion.ReadOptions{}, c.Event); err != nil {
		t.Fatal(err)
	}
	stats, err := c.End("M104 S0\nM84")
	if err != nil {
		t.Fatal(err)
	}
	var steps []readback.Step
	err = readback.Steps(bytes.NewReader(out.Bytes()), card, readback.Span{First: stats.First, Last: stats.Last}, func(s *readback.Step) error {
		steps = append(steps, *s)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return out.String(), stats, steps
}

func builtin(t testing.TB, name string) *machine.Card {
	t.Helper()
	c, ok := machine.Builtin(name)
	if !ok {
		t.Fatalf("no card %q", name)
	}
	return c
}

func outward(deg float64) field.Field {
	return field.NewCone(deg*math.Pi/180, false, r2.Vec{X: 100, Y: 100}, 0)
}

// radial is a bead from the axis outward on the shell that meets the bed at
// radius c.
func radial(c, from, to float64) string {
	return fmt.Sprintf("G1 X%.3f Y100 Z%.3f F6000\nG1 X%.3f E10 F1200\n", 100+from, c, 100+to)
}

// CONTRACT: the tip stays at max(half a layer height, R0 sin(tilt)) or above, and
// a bead gets filament x min(1, room / layer height) there. The sum is worked here
// by hand: the bead falls by one for each mm of radius until the tip's least height.
func TestBedRuleRaisesAndThins(t *testing.T) {
	slim := *builtin(t, "swivel-45")
	slim.Head.Profile = append([][2]float64{{0, 0.2}}, slim.Head.Profile[1:]...)
	card := &slim
	h := 0.2 * math.Sqrt2
	z := &unwarp.Zone{Name: "z", Field: outward(45), LayerHeight: h}
	_, stats, steps := corrected(t, card, z, radial(5, 3, 6))
	tip := 0.2 * math.Sin(math.Pi/4) // R0 sin(tilt): as much as half a layer
	// Half a layer right over the bead's middle: the square tip stands half a
	// thickness along the normal from that middle, 0.1 sin(45) higher than it.
	least := tip + h/2 - 0.1*math.Sin(math.Pi/4)
	perMM := 10.0 / 3
	falling := h - least // from z = h to the least height, along one mm a mm
	want := perMM*(2-h) + perMM*falling*(1+least/h)/2 + perMM*(1+least)*least/h
	if got := stats.Zones[0].ContactFilament; math.Abs(got-want) > 2e-3*want {
		t.Errorf("contact filament %.5f, want %.5f", got, want)
	}
	for _, s := range steps {
		if s.Known && s.To.Tip.Z < tip-1e-9 {
			t.Errorf("line %d: the tip goes down to %g", s.Line, s.To.Tip.Z)
		}
	}
	if stats.Zones[0].Ruled.Count == 0 {
		t.Error("no bead is counted as raised or thinned")
	}
}

func TestBeadThroughTheAxisIsBrokenAndTurned(t *testing.T) {
	card := builtin(t, "swivel-45")
	z := &unwarp.Zone{Name: "z", Field: outward(45), LayerHeight: 0.28}
	_, stats, steps := corrected(t, card, z, "G1 X90 Y100 Z40 F6000\nG1 X110 E5 F1200\n")
	if stats.Broken != 1 {
		t.Errorf("broken %d times, want once", stats.Broken)
	}
	var turned float64
	for _, s := range steps {
		step := math.Abs(s.Words[1].Turn[0] - s.Words[0].Turn[0])
		if s.Lays() && step > 1e-9 {
			t.Errorf("line %d: the head turns by %g on a bead through the axis", s.Line, step)
		}
		if s.To.Tip.Z > 41.5 && s.From.Tip.Z > 41.5 {
			turned += step
		}
	}
	if turned < 180 {
		t.Errorf("the head turns by %g above the part, want half a turn", turned)
	}
}

// A spiral of 20 turns on a wired head is
// broken and unwound with no filament lost.
func TestLongSpiralIsUnwoundOnAWiredHead(t *testing.T) {
	card := builtin(t, "swivel-45-wired")
	z := &unwarp.Zone{Name: "z", Field: outward(45), LayerHeight: 0.28}
	var b strings.Builder
	b.WriteString("G1 X120 Y100 Z60 F6000\n")
	const n = 20 * 90
	for i := 1; i <= n; i++ {
		s, c := math.Sincos(2 * math.Pi * float64(i) / 90)
		fmt.Fprintf(&b, "G1 X%.3f Y%.3f Z%.4f E%.5f F1800\n", 100+20*c, 100+20*s, 60+0.28*float64(i)/90, 0.05*float64(i))
	}
	_, stats, steps := corrected(t, card, z, b.String())
	laid := 0.0
	for _, s := range steps {
		if w := math.Abs(s.Words[1].Turn[0]); w > 360.0005 {
			t.Fatalf("line %d: the swivel stands at %g", s.Line, w)
		}
		if s.Lays() {
			laid += s.E
		}
	}
	if want := 0.05 * n; math.Abs(laid-want) > 1e-4*want {
		t.Errorf("%g mm laid, want %g", laid, want)
	}
	if stats.OutOfRange.Count > 0 || stats.Broken < 9 || stats.Broken > 20 {
		t.Errorf("broken %d times, out of range %d times; two turns fit in the range", stats.Broken, stats.OutOfRange.Count)
	}
}

// rings are closed beads about the axis, turned alternately left and right.
func rings(layers int) string {
	var b strings.Builder
	e := 0.0
	for l := 1; l <= layers; l++ {
		for ring := 0; ring < 3; ring++ {
			r := 15 + 0.4*float64(ring)
			sense := 1.0
			if (l*3+ring)%2 == 1 {
				sense = -1
			}
			for i := 0; i <= 60; i++ {
				s, c := math.Sincos(sense * 2 * math.Pi * float64(i) / 60)
				if i == 0 {
					fmt.Fprintf(&b, "G1 X%.3f Y%.3f Z%.3f F7200\n", 100+r*c, 100+r*s, 20+0.28*float64(l))
					continue
				}
				e += 0.05
				fmt.Fprintf(&b, "G1 X%.3f Y%.3f E%.5f F1800\n", 100+r*c, 100+r*s, e)
			}
		}
	}
	return b.String()
}

func TestAlternateRingsNeedNoUnwinding(t *testing.T) {
	z := &unwarp.Zone{Name: "z", Field: outward(45), LayerHeight: 0.28}
	_, stats, _ := corrected(t, builtin(t, "swivel-45-wired"), z, rings(10))
	if stats.Broken+stats.Unwound > 0 {
		t.Errorf("%d beads broken, %d turns unwound", stats.Broken, stats.Unwound)
	}
}

// All three feed bases tell the same durations (NISTIR 6556, 2.1.2.5 and 3.5.19).
func TestFeedBasesTellTheSameTime(t *testing.T) {
	z := &unwarp.Zone{Name: "z", Field: outward(45), LayerHeight: 0.28}
	var times [3][]float64
	for i, basis := range []string{machine.FeedTip, machine.FeedAllAxes, machine.FeedInverseTime} {
		card := *builtin(t, "swivel-45")
		card.FeedBasis = basis
		text, _, steps := corrected(t, &card, z, rings(2))
		for _, s := range steps[3:] { // the first three come from an unknown place
			times[i] = append(times[i], s.Seconds)
		}
		if basis == machine.FeedInverseTime {
			for _, l := range strings.Split(text, "\n") {
				if strings.HasPrefix(l, "G1") && !strings.Contains(l, "F") && !strings.Contains(l, "X5 E9") {
					t.Fatalf("no F under G93: %s", l)
				}
			}
		}
	}
	for i := range times[0] {
		for k := 1; k < 3; k++ {
			if d := math.Abs(times[k][i]/times[0][i] - 1); d > 0.005 {
				t.Fatalf("move %d takes %g s by basis %d, %g s by the tip", i, times[k][i], k, times[0][i])
			}
		}
	}
}

// A head whose tip stands off the swivel axis: the tip must still follow the
// shell while the controller turns it.
func TestTipOffTheAxisFollowsTheShell(t *testing.T) {
	card := *builtin(t, "swivel-45")
	s := *card.Swivel
	s.TipOffset = [3]float64{3, -1.5, 0}
	s.Sense, s.Zero = -1, 90
	card.Swivel = &s
	f := outward(45)
	z := &unwarp.Zone{Name: "z", Field: f, LayerHeight: 0.28}
	_, _, steps := corrected(t, &card, z, "G1 X90 Y104 Z40 F6000\nG1 X112 Y101 E5 F1200\n")
	for i := range steps {
		st := &steps[i]
		if !st.Lays() {
			continue
		}
		a, b := st.Words[0], st.Words[1]
		for k := 0.0; k <= 1; k += 0.05 {
			tip := card.Pose(machine.Words{X: a.X + k*(b.X-a.X), Y: a.Y + k*(b.Y-a.Y), Z: a.Z + k*(b.Z-a.Z), Turn: machine.Turn{a.Turn[0] + k*(b.Turn[0]-a.Turn[0])}}).Tip
			if off := math.Abs(tip.Z - (40 - f.At(flat(tip)))); off > tolerance {
				t.Fatalf("line %d: %.4f mm off the shell", st.Line, off)
			}
		}
	}
}

func TestDryRunHasNoHeatAndNoFilament(t *testing.T) {
	card := builtin(t, "swivel-45")
	z := &unwarp.Zone{Name: "z", Field: outward(45), LayerHeight: 0.28}
	text, stats, _ := corrected(t, card, z, "M106 S200\n"+rings(1)+"M107\n")
	var dry bytes.Buffer
	err := unwarp.DryRun(bufio.NewReader(strings.NewReader(text)), &dry, unwarp.DryOptions{Raise: [3]float64{2: 20}, First: stats.First, Last: stats.Last})
	if err != nil {
		t.Fatal(err)
	}
	moves := 0
	for _, l := range strings.Split(dry.String(), "\n") {
		if strings.HasPrefix(l, ";") {
			continue
		}
		if strings.ContainsAny(l, "Ee") || strings.Contains(l, "M10") {
			t.Errorf("in a dry run: %s", l)
		}
		if strings.HasPrefix(l, "G1") {
			moves++
		}
	}
	if moves < 150 {
		t.Errorf("only %d moves", moves)
	}
	if !strings.Contains(dry.String(), "G28") {
		t.Error("the dry run doesn't home")
	}
}

func Example() {
	card, _ := machine.Builtin("straight")
	var out bytes.Buffer
	c := unwarp.New(&out, unwarp.Options{Card: card, Tolerance: 0.02, TravelSpeed: 100})
	c.Begin(nil, "G28")
	c.Zone(&unwarp.Zone{Name: "ramp", Field: field.NewRamp(math.Pi/12, 0), LayerHeight: 0.2})
	planar := "G1 X10 Y10 Z20 F6000\nG1 X30 E1 F1200\n"
	motion.Read(context.Background(), strings.NewReader(planar), motion.ReadOptions{}, c.Event)
	c.End("M84")
	lines := strings.Split(out.String(), "\n")
	fmt.Println(strings.Join(lines[len(lines)-4:len(lines)-2], "\n"))
	// Output:
	// G1 Z17.321 F720
	// G1 X30 Z11.962 E1 F1200
}
