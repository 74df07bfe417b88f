package ownfield

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"math"
	"math/rand"
	"strconv"
	"strings"
	"testing"

	"conewright/geom/machine"
	"conewright/geom/motion"
	"conewright/geom/readback"
	"conewright/geom/unwarp"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

const (
	layer     = 0.4
	tolerance = 0.02
)

// bead is a straight planar bead.
type bead struct{ from, to r3.Vec }

// planar returns random beads on rising layers over several waves, and their file.
func planar(seed int64, n int) (beads []bead, text string) {
	rng := rand.New(rand.NewSource(seed))
	place := func() r2.Vec { return r2.Vec{X: 60 + 80*rng.Float64(), Y: 80 + 40*rng.Float64()} }
	round := func(v float64) float64 { return math.Round(v*1000) / 1000 }
	var b strings.Builder
	b.WriteString("G21\nG90\nM83\n")
	for i := range n {
		z := 40 + layer*float64(1+i/6)
		from, to := place(), place()
		one := bead{r3.Vec{X: round(from.X), Y: round(from.Y), Z: z}, r3.Vec{X: round(to.X), Y: round(to.Y), Z: z}}
		beads = append(beads, one)
		fmt.Fprintf(&b, "G1 X%.3f Y%.3f Z%.3f F7200\n", one.from.X, one.from.Y, z)
		fmt.Fprintf(&b, "G1 X%.3f Y%.3f E%.5f F2400\n", one.to.X, one.to.Y, 0.05*r3.Norm(r3.Sub(one.to, one.from)))
	}
	return beads, b.String()
}

func corrected(t *testing.T, card *machine.Card, z *unwarp.Zone, text string) (string, readback.Span) {
	t.Helper()
	var out bytes.Buffer
	c := unwarp.New(&out, unwarp.Options{Card: card, Tolerance: tolerance, TravelSpeed: 120})
	if err := c.Begin(nil, "G28"); err != nil {
		t.Fatal(err)
	}
	if err := c.Zone(z); err != nil {
		t.Fatal(err)
	}
	if _, err := motion.Read(context.Background(), strings.NewReader(text), motion.ReadOptions{}, c.Event); err != nil {
		t.Fatal(err)
	}
	stats, err := c.End("M84")
	if err != nil {
		t.Fatal(err)
	}
	return out.String(), readback.Span{First: stats.First, Last: stats.Last}
}

// read checks a corrected file against the planar motion that it came from.
func read(t *testing.T, card *machine.Card, z *unwarp.Zone, file, text string, span readback.Span) readback.Report {
	t.Helper()
	report, err := readback.Check(context.Background(), strings.NewReader(file), []readback.Source{{Zone: z,
		Open: func() (io.ReadCloser, error) { return io.NopCloser(strings.NewReader(text)), nil }}},
		readback.Options{Card: card, Span: span})
	if err != nil {
		t.Fatal(err)
	}
	return report
}

// Beads of the corrected file lie on the planar ones, warped back by the formula of
// the wave: found from the words by the contract's placement, without geom/field.
func TestMotionLiesOnTheShells(t *testing.T) {
	for _, name := range []string{"straight", "swivel-45", "two-axis-head"} {
		t.Run(name, func(t *testing.T) {
			card, ok := machine.Builtin(name)
			if !ok {
				t.Fatal("no such card")
			}
			z := &unwarp.Zone{Name: "all", Field: swell.field(t), LayerHeight: layer}
			beads, text := planar(3, 240)
			file, span := corrected(t, card, z, text)
			i, along, pushed, want := 0, 0.0, 0.0, 0.0
			for _, b := range beads {
				want += 0.05 * r3.Norm(r3.Sub(b.to, b.from))
			}
			err := readback.Steps(strings.NewReader(file), card, span, func(s *readback.Step) error {
				if !s.Lays() {
					return nil
				}
				pushed += s.E
				const parts = 8
				for k := range parts + 1 {
					p := card.Pose(between(s.Words[0], s.Words[1], float64(k)/parts))
					m := swell.middle(p.Tip, card.Axis(p), layer)
					m.Z += layer/2 + swell.at(m.X) // the middle, warped: its planar place
					b := beads[i]
					way := r3.Sub(b.to, b.from)
					t0 := r3.Dot(r3.Sub(m, b.from), way) / r3.Norm2(way)
					if t0 > 1-1e-4 && k == parts || t0 < along-0.05 {
						// done with this bead, or already on the next
						if off := r3.Norm(r3.Sub(m, b.to)); k == parts && off > 2*tolerance {
							return fmt.Errorf("line %d: bead %d ends %v mm off", s.Line, i, off)
						}
						i, along = min(i+1, len(beads)-1), 0
						continue
					}
					along = math.Max(along, t0)
					if off := r3.Norm(r3.Sub(m, r3.Add(b.from, r3.Scale(t0, way)))); off > 1.2*tolerance {
						return fmt.Errorf("line %d: bead %d, %.3f along: %v mm off", s.Line, i, t0, off)
					}
				}
				return nil
			})
			if err != nil || i != len(beads)-1 {
				t.Fatalf("%v; %d of %d beads", err, i+1, len(beads))
			}
			if math.Abs(pushed-want) > 1e-3*want {
				t.Errorf("%v mm of filament, the planar beads hold %v", pushed, want)
			}
			if r := read(t, card, z, file, text, span); r.Deviation > tolerance || r.Missing > 0 || r.AzimuthError > 5 {
				t.Errorf("read back: %v mm off, %d missing, azimuth %v off", r.Deviation, r.Missing, r.AzimuthError)
			}
		})
	}
}

func between(a, b machine.Words, t float64) machine.Words {
	w := machine.Words{X: a.X + t*(b.X-a.X), Y: a.Y + t*(b.Y-a.Y), Z: a.Z + t*(b.Z-a.Z)}
	for i := range w.Turn {
		w.Turn[i] = a.Turn[i] + t*(b.Turn[i]-a.Turn[i])
	}
	return w
}

// A file that strays from the shells is told by as much as it strays, so that the
// reading back isn't blind for what it doesn't know.
func TestReadingBackSeesWhatStrays(t *testing.T) {
	card, _ := machine.Builtin("straight")
	z := &unwarp.Zone{Name: "all", Field: swell.field(t), LayerHeight: layer}
	_, text := planar(4, 60)
	file, span := corrected(t, card, z, text)
	const stray = 0.3
	lines := strings.SplitAfter(file, "\n")
	line := 0
	for i := span.First; i < span.Last && line == 0; i++ {
		if at := strings.Index(lines[i], " Z"); at > 0 && strings.Contains(lines[i], " E") && i > (span.First+span.Last)/2 {
			rest, end := lines[i][at+2:], 0
			for end < len(rest) && strings.ContainsRune("-.0123456789", rune(rest[end])) {
				end++
			}
			v, err := strconv.ParseFloat(rest[:end], 64)
			if err != nil {
				t.Fatal(err)
			}
			lines[i] = fmt.Sprintf("%s Z%.4f%s", lines[i][:at], v+stray, rest[end:])
			line = i + 1
		}
	}
	r := read(t, card, z, strings.Join(lines, ""), text, span)
	if line == 0 || math.Abs(r.Deviation-stray) > 0.1*stray || r.DeviationLine < line || r.DeviationLine > line+1 {
		t.Errorf("line %d was moved by %v mm, found %v at line %d", line, stray, r.Deviation, r.DeviationLine)
	}
}
