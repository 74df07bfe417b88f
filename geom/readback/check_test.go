package readback_test

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"math"
	"math/rand"
	"strings"
	"testing"

	"conewright/geom/field"
	"conewright/geom/machine"
	"conewright/geom/motion"
	"conewright/geom/readback"
	"conewright/geom/unwarp"

	"gonum.org/v1/gonum/spatial/r2"
)

// run corrects planar motion of one zone and checks the result.
func run(t testing.TB, card *machine.Card, z *unwarp.Zone, planar string, tol float64) (string, unwarp.Stats, readback.Report) {
	t.Helper()
	var out bytes.Buffer
	c := unwarp.New(&out, unwarp.Options{Card: card, Tolerance: tol, TravelSpeed: 120})
	if err := c.Begin([]string{"test"}, "G28"); err != nil {
		t.Fatal(err)
	}
	if err := c.Zone(z); err != nil {
		t.Fatal(err)
	}
	if _, err := motion.Read(context.Background(), strings.NewReader(planar), motion.ReadOptions{}, c.Event); err != nil {
		t.Fatal(err)
	}
	stats, err := c.End("M84")
	if err != nil {
		t.Fatal(err)
	}
	src := readback.Source{Zone: z, Open: func() (io.ReadCloser, error) { return io.NopCloser(strings.NewReader(planar)), nil }}
	rep, err := readback.Check(context.Background(), bytes.NewReader(out.Bytes()), []readback.Source{src},
		readback.Options{Card: card, Span: readback.Span{First: stats.First, Last: stats.Last}})
	if err != nil {
		t.Fatal(err)
	}
	return out.String(), stats, rep
}

func card(t testing.TB, name string) *machine.Card {
	t.Helper()
	c, ok := machine.Builtin(name)
	if !ok {
		t.Fatalf("no card %s", name)
	}
	return c
}

// scribble writes planar motion of n random beads on rising layers.
func scribble(rng *rand.Rand, n int, height float64, center r2.Vec, size float64) (text string, filament float64) {
	var b strings.Builder
	b.WriteString("G21\nG90\nM82\nG92 E0\n")
	e := 0.0
	x, y := center.X, center.Y
	for i := 0; i < n; i++ {
		z := height * float64(1+i/8)
		x0, y0 := x, y
		if rng.Intn(3) > 0 {
			x0, y0 = center.X+size*(rng.Float64()-.5), center.Y+size*(rng.Float64()-.5)
		}
		fmt.Fprintf(&b, "G1 X%.3f Y%.3f Z%.3f F7200\n", x0, y0, z)
		x, y = center.X+size*(rng.Float64()-.5), center.Y+size*(rng.Float64()-.5)
		de := 0.03 * math.Hypot(x-x0, y-y0)
		e += de
		filament += de
		fmt.Fprintf(&b, "G1 X%.3f Y%.3f E%.5f F2400\n", x, y, e)
	}
	return b.String(), filament
}

func TestRandomMotionStaysWithinTolerance(t *testing.T) {
	rng := rand.New(rand.NewSource(1))
	for _, name := range []string{"swivel-45", "swivel-45-wired", "straight"} {
		for _, inward := range []bool{false, true} {
			for _, deg := range []float64{15, 30, 45} {
				for _, round := range []float64{0, 1} {
					label := fmt.Sprintf("%s inward=%v %g round %g", name, inward, deg, round)
					z := &unwarp.Zone{Name: "z", LayerHeight: 0.2 / math.Cos(deg*math.Pi/180),
						Field: field.NewCone(deg*math.Pi/180, inward, r2.Vec{X: 100, Y: 100}, round)}
					z.Drop = 40
					if !inward {
						z.Drop = 0
					}
					text, filament := scribble(rng, 300, z.LayerHeight, r2.Vec{X: 100, Y: 100}, 40)
					out, stats, rep := run(t, card(t, name), z, text, 0.02)
					if rep.Deviation > 0.02 || rep.Missing > 0 {
						t.Errorf("%s: deviation %g at line %d, missing %d\n%s", label, rep.Deviation, rep.DeviationLine, rep.Missing, around(out, rep.DeviationLine))
					}
					if rep.AzimuthError > 5 {
						t.Errorf("%s: azimuth errs by %g\n%s", label, rep.AzimuthError, around(out, rep.AzimuthLine))
					}
					if rep.LowestZ < z.LayerHeight/2 {
						t.Errorf("%s: lowest z %g", label, rep.LowestZ)
					}
					if d := math.Abs(stats.Zones[0].PlanarFilament-filament) / filament; d > 1e-5 {
						t.Errorf("%s: planar filament %g, want %g", label, stats.Zones[0].PlanarFilament, filament)
					}
					if d := math.Abs(stats.Zones[0].ContactFilament-rep.Filament) / filament; d > 1e-4 {
						t.Errorf("%s: contact filament %g, file holds %g", label, stats.Zones[0].ContactFilament, rep.Filament)
					}
					if name == "swivel-45-wired" && (rep.Winding > 360 || stats.OutOfRange.Count > 0) {
						t.Errorf("%s: winding %g, out of range %v", label, rep.Winding, stats.OutOfRange)
					}
					if name != "straight" && rep.SwivelSpeed > 360.5 {
						t.Errorf("%s: swivel speed %g", label, rep.SwivelSpeed)
					}
				}
			}
		}
	}
}

func around(text string, line int) string {
	lines := strings.Split(text, "\n")
	lo, hi := max(0, line-4), min(len(lines), line+2)
	return strings.Join(lines[lo:hi], "\n")
}

// The printing time counts how the axes speed up and slow down: ten beads of
// 100 mm at 40 mm/s, turned by nearly half a turn between, each with two ramps of
// 40 mm/s at 1000 mm/s2 that cost 20 ms each (less at corners taken in motion).
func TestSecondsCountRampsOfSpeed(t *testing.T) {
	z := &unwarp.Zone{Name: "z", LayerHeight: 0.2}
	text := "G1 X50 Y50 Z0.2 F7200\n"
	for i := 1; i <= 10; i++ {
		text += fmt.Sprintf("G1 X%d Y%d E%d F2400\n", 50+100*(i%2), 50+10*i, 3*i)
	}
	_, _, rep := run(t, card(t, "straight"), z, text, 0.02)
	way := 10 * math.Hypot(100, 10) / 40
	descent := 10.0 / 12 // from the first crossing to the bed, 12 mm/s
	if least, most := way+descent+10*0.02, way+descent+10*0.04+0.3; rep.Seconds < least || rep.Seconds > most {
		t.Errorf("%.3f s, want %.3f to %.3f", rep.Seconds, least, most)
	}
}
