package calibrate_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand"
	"strings"
	"testing"

	"conewright/geom/calibrate"
	"conewright/geom/machine"
	"conewright/geom/motion"

	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"
)

// readings are what a head with the given offset, zero and sense would give.
func readings(offset, zero, sense float64, words []float64, noise float64, rng *rand.Rand) []calibrate.Reading {
	if rng == nil {
		rng = rand.New(rand.NewSource(1))
	}
	var list []calibrate.Reading
	for _, w := range words {
		azimuth := (w - zero) * sense * math.Pi / 180
		list = append(list, calibrate.Reading{Word: w, Tip: r2.Vec{
			X: 100 + offset*math.Cos(azimuth) + noise*rng.NormFloat64(),
			Y: 90 + offset*math.Sin(azimuth) + noise*rng.NormFloat64(),
		}})
	}
	return list
}

func TestFitFindsWhatTheReadingsWereMadeOf(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		offset := rapid.Float64Range(0.5, 30).Draw(t, "offset")
		zero := rapid.Float64Range(-170, 170).Draw(t, "zero")
		sense := rapid.SampledFrom([]float64{1, -1}).Draw(t, "sense")
		forward := rapid.Bool().Draw(t, "forward")
		if !forward {
			offset = -offset
		}
		r, err := calibrate.Fit(readings(offset, zero, sense, []float64{0, 80, 200, 290, 350}, 0, nil), zero+20, forward)
		if err != nil {
			t.Fatal(err)
		}
		if r.Sense != sense || math.Abs(r.Offset.V-offset) > 1e-6 || math.Abs(r.Zero.V-zero) > 1e-5 {
			t.Errorf("found %+v", r)
		}
	})
}

// The uncertainty told must be the spread that repeated readings show.
func TestUncertaintyIsTheSpread(t *testing.T) {
	rng := rand.New(rand.NewSource(3))
	const n, noise = 2000, 0.05
	var sum, sum2, told float64
	for range n {
		r, err := calibrate.Fit(readings(12, 5, 1, []float64{0, 60, 120, 180, 240, 300}, noise, rng), 0, true)
		if err != nil {
			t.Fatal(err)
		}
		sum += r.Offset.V
		sum2 += r.Offset.V * r.Offset.V
		told += r.Offset.U
	}
	spread := math.Sqrt(sum2/n - sum*sum/n/n)
	if told /= n; math.Abs(told/spread-1) > 0.1 {
		t.Errorf("told %g, spread %g", told, spread)
	}
}

func TestTooLittleIsRefused(t *testing.T) {
	for _, words := range [][]float64{{0, 90, 180}, {10, 10, 10, 10}} {
		if _, err := calibrate.Fit(readings(5, 0, 1, words, 0, nil), 0, true); !errors.Is(err, calibrate.ErrReadings) {
			t.Errorf("words %v: %v", words, err)
		}
	}
}

// All four crosses stand at the same place on the bed, whatever the offset.
func TestCrossesLieOnEachOther(t *testing.T) {
	card, _ := machine.Builtin("swivel-45-wired")
	card.Swivel.TipOffset = [3]float64{7, -3, 0}
	card.Swivel.Zero = 30
	text, err := calibrate.Cross(card, calibrate.CrossOptions{})
	if err != nil {
		t.Fatal(err)
	}
	beads := 0
	_, err = motion.Read(context.Background(), strings.NewReader(string(text)), motion.ReadOptions{Swivel: 'C'}, func(ev *motion.Event) error {
		if ev.Kind == motion.Problem {
			t.Errorf("line %d: %s", ev.Line, ev.Why)
		}
		if !ev.Extrudes() {
			return nil
		}
		beads++
		a := card.Pose(machine.Words{X: ev.From.X, Y: ev.From.Y, Turn: machine.Turn{ev.ToSwivel}}).Tip
		b := card.Pose(machine.Words{X: ev.To.X, Y: ev.To.Y, Turn: machine.Turn{ev.ToSwivel}}).Tip
		if mid := (a.X + b.X) / 2; math.Abs(mid-125) > 0.002 || math.Abs((a.Y+b.Y)/2-105) > 0.002 {
			t.Errorf("line %d: from %v to %v", ev.Line, a, b)
		}
		if r := card.Swivel.Range; ev.ToSwivel < r[0] || ev.ToSwivel > r[1] {
			t.Errorf("line %d: the swivel at %g", ev.Line, ev.ToSwivel)
		}
		return nil
	})
	if err != nil || beads != 8 {
		t.Errorf("%d beads, %v", beads, err)
	}
}

func TestCrossNeedsASwivelAndRoom(t *testing.T) {
	straight, _ := machine.Builtin("straight")
	if _, err := calibrate.Cross(straight, calibrate.CrossOptions{}); !errors.Is(err, calibrate.ErrNoSwivel) {
		t.Error(err)
	}
	card, _ := machine.Builtin("swivel-45")
	if _, err := calibrate.Cross(card, calibrate.CrossOptions{X: 2, Y: 2}); err == nil || !strings.Contains(err.Error(), "travel") {
		t.Error(err)
	}
}

func Example() {
	r, _ := calibrate.Fit(readings(12.5, 3, 1, []float64{0, 90, 180, 270}, 0, nil), 0, true)
	fmt.Printf("offset %.3f mm, zero %.3f degrees\n", r.Offset.V, r.Zero.V)
	// Output: offset 12.500 mm, zero 3.000 degrees
}
