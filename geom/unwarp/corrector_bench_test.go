package unwarp_test

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"math"
	"testing"

	"conewright/geom/field"
	"conewright/geom/machine"
	"conewright/geom/motion"
	"conewright/geom/unwarp"

	"gonum.org/v1/gonum/spatial/r2"
)

// planarFile writes about size bytes of planar motion: walls of a bollard-like
// part as rings of short moves about a centre off the axis, and straight fill.
func planarFile(size int) []byte {
	var b bytes.Buffer
	b.WriteString("G21\nG90\nM82\nG92 E0\n")
	e, z := 0.0, 0.0
	for layer := 1; b.Len() < size; layer++ {
		z = 0.283 * float64(layer%300)
		for ring := 0; ring < 6; ring++ {
			r := 18 + 0.35*float64(ring)
			const n = 180
			for i := 0; i <= n; i++ {
				s, c := math.Sincos(2 * math.Pi * float64(i) / n)
				if i == 0 {
					fmt.Fprintf(&b, "G1 X%.3f Y%.3f Z%.3f F7200\n", 125+r*c, 105+r*s, z)
					continue
				}
				e += 0.03 * 2 * math.Pi * r / n
				fmt.Fprintf(&b, "G1 X%.3f Y%.3f E%.5f\n", 125+r*c, 105+r*s, e)
			}
		}
		for i := 0; i < 40; i++ {
			y := 90 + 0.75*float64(i)
			fmt.Fprintf(&b, "G1 X%.3f Y%.3f F7200\n", 110.0, y)
			e += 0.9
			fmt.Fprintf(&b, "G1 X%.3f Y%.3f E%.5f F2400\n", 140.0, y, e)
		}
	}
	return b.Bytes()
}

// 17 MB read, unwarped and written in 0.4 s.
func BenchmarkCorrect17MB(b *testing.B) {
	text := planarFile(17 << 20)
	card, _ := machine.Builtin("swivel-45")
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		c := unwarp.New(io.Discard, unwarp.Options{Card: card, Tolerance: 0.02, TravelSpeed: 120})
		c.Begin(nil, "")
		c.Zone(&unwarp.Zone{Name: "z", LayerHeight: 0.283, Last: true, Field: field.NewCone(math.Pi/4, false, r2.Vec{X: 125, Y: 105}, 0)})
		if _, err := motion.ReadAhead(context.Background(), bytes.NewReader(text), motion.ReadOptions{}, c.Event); err != nil {
			b.Fatal(err)
		}
		if _, err := c.End(""); err != nil {
			b.Fatal(err)
		}
	}
}
