package unwarp_test

import (
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

// square is a square bead of 4 mm about (x, y) at planar height z.
func square(x, y, z float64, e *float64) string {
	var b strings.Builder
	fmt.Fprintf(&b, "G1 X%.3f Y%.3f Z%.3f F7200\n", x-2, y-2, z)
	for _, d := range [][2]float64{{2, -2}, {2, 2}, {-2, 2}, {-2, -2}} {
		*e += 0.1
		fmt.Fprintf(&b, "G1 X%.3f Y%.3f E%.5f F1800\n", x+d[0], y+d[1], *e)
	}
	return b.String()
}

// zones corrects several zones' planar texts and returns the steps.
func zones(t *testing.T, card *machine.Card, zs []*unwarp.Zone, texts []string) []readback.Step {
	t.Helper()
	var out bytes.Buffer
	c := unwarp.New(&out, unwarp.Options{Card: card, Tolerance: tolerance, TravelSpeed: 120})
	c.Begin(nil, "")
	for i, z := range zs {
		c.Zone(z)
		if _, err := motion.Read(context.Background(), strings.NewReader(texts[i]), motion.ReadOptions{}, c.Event); err != nil {
			t.Fatal(err)
		}
	}
	stats, err := c.End("")
	if err != nil {
		t.Fatal(err)
	}
	var steps []readback.Step
	err = readback.Steps(&out, card, readback.Span{First: stats.First, Last: stats.Last}, func(s *readback.Step) error {
		steps = append(steps, *s)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return steps
}

// leastBetween returns the least tip height of travels between x = lo and hi.
func leastBetween(steps []readback.Step, lo, hi float64) float64 {
	least := math.Inf(1)
	for i := range steps {
		s := &steps[i]
		if s.Lays() || !s.Known {
			continue
		}
		for k := 0.0; k <= 1; k += 0.01 {
			x := s.From.Tip.X + k*(s.To.Tip.X-s.From.Tip.X)
			if x > lo && x < hi {
				least = math.Min(least, s.From.Tip.Z+k*(s.To.Tip.Z-s.From.Tip.Z))
			}
		}
	}
	return least
}

func level() *unwarp.Zone { return &unwarp.Zone{Name: "z", LayerHeight: 0.2} }

// A source may print one thing after the other: its way back down to the bed
// leads past what stands there already, so it isn't followed.
func TestWayBackDownToPrintedShellsGoesOver(t *testing.T) {
	var b strings.Builder
	e := 0.0
	for _, x := range []float64{60, 100} {
		for l := 1; l <= 50; l++ {
			b.WriteString(square(x, 100, 0.2*float64(l), &e))
		}
	}
	steps := zones(t, builtin(t, "straight"), []*unwarp.Zone{level()}, []string{b.String()})
	if least := leastBetween(steps, 63, 97); least < 11 {
		t.Errorf("crosses at z %.3f, a post of 10 mm stands there", least)
	}
}

// Between two places of a later zone stands an earlier one.
func TestLaterZoneGoesOverAnEarlierOneInItsWay(t *testing.T) {
	var wall, posts strings.Builder
	e := 0.0
	for l := 1; l <= 100; l++ {
		wall.WriteString(square(100, 100, 0.2*float64(l), &e))
	}
	e = 0
	for l := 1; l <= 20; l++ {
		posts.WriteString(square(50, 100, 0.2*float64(l), &e))
		posts.WriteString(square(150, 100, 0.2*float64(l), &e))
		posts.WriteString(square(158, 100, 0.2*float64(l), &e))
	}
	steps := zones(t, builtin(t, "straight"), []*unwarp.Zone{level(), level()}, []string{wall.String(), posts.String()})
	if least := leastBetween(steps, 90, 110); least < 0.2 {
		t.Errorf("travels at z %.3f", least)
	}
	var later []readback.Step
	lays, raised := false, 0
	for _, s := range steps {
		if lays = lays || s.Zone == 1 && s.Lays(); !lays {
			continue
		}
		later = append(later, s)
		from, to := s.From.Tip, s.To.Tip
		if !s.Lays() && math.Min(from.X, to.X) > 147 && math.Abs(from.X-to.X) > 5 && from.Z > 10 {
			raised++
		}
	}
	if least := leastBetween(later, 90, 110); least < 21 {
		t.Errorf("crosses the earlier zone at z %.3f, it is 20 mm high", least)
	}
	if raised > 0 {
		t.Errorf("goes up %d times where nothing stands in the way", raised)
	}
}

func TestWayOverAClipOnTheBedGoesOver(t *testing.T) {
	card := *builtin(t, "straight")
	card.Obstacles = []machine.Box{{Min: [3]float64{95, 95, 0}, Max: [3]float64{105, 105, 6}}}
	var b strings.Builder
	e := 0.0
	for l := 1; l <= 5; l++ {
		b.WriteString(square(50, 100, 0.2*float64(l), &e))
		b.WriteString(square(150, 100, 0.2*float64(l), &e))
	}
	steps := zones(t, &card, []*unwarp.Zone{level()}, []string{b.String()})
	if least := leastBetween(steps, 90, 110); least < 8 {
		t.Errorf("crosses the clip of 6 mm at z %.3f", least)
	}
}

// On an inward cone's shell near the axis even a short way swings the head
// across the bowl.
func TestHeadDoesNotSwingRoundInABowl(t *testing.T) {
	card := builtin(t, "swivel-45")
	z := &unwarp.Zone{Name: "z", LayerHeight: 0.28, Drop: 0, Field: field.NewCone(math.Pi/4, true, r2.Vec{X: 100, Y: 100}, 0)}
	_, _, steps := corrected(t, card, z, "G1 X99.5 Y99 Z30 F6000\nG1 X99.5 Y100 E1 F1200\nG1 X100.5 Y100 F6000\nG1 X100.5 Y101 E2 F1200\n")
	for _, s := range steps {
		if turn := math.Abs(s.Words[1].Turn[0] - s.Words[0].Turn[0]); !s.Lays() && s.Known && turn > 45 && s.To.Tip.Z < 32 {
			t.Errorf("line %d: turns by %.0f degrees at z %.3f", s.Line, turn, s.To.Tip.Z)
		}
	}
}
