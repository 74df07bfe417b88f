package readback_test

import (
	"context"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"

	"conewright/geom/machine"
	"conewright/geom/readback"
	"conewright/geom/unwarp"
)

// A bed that turns by 20 degrees under one straight move of 10 mm takes the tip along
// an arc, 0.87 mm beside the planned line half way (10 mm x sin(10 degrees) / 2), though
// ends and heights are right.
func TestABeadThatBowsAsideIsFoundOut(t *testing.T) {
	bed := *card(t, "straight")
	bed.Rotary = []machine.Rotary{{Letter: "C", On: machine.OnBed, About: [3]float64{0, 0, 1}, At: [3]float64{100, 100, 0},
		Sense: 1, MaxSpeed: 180, MaxAccel: 1200}}
	place := func(x, y, turn float64) machine.Words {
		pose := bed.Pose(machine.Words{Turn: machine.Turn{turn}})
		pose.Tip.X, pose.Tip.Y, pose.Tip.Z = x, y, 10
		return bed.Words(pose)
	}
	a, b := place(95, 100, 0), place(105, 100, 20)
	write := func(w machine.Words) string {
		return fmt.Sprintf("G1 X%.3f Y%.3f Z%.3f C%.3f", w.X, w.Y, w.Z, w.Turn[0])
	}
	text := "G21 G90 M82 G92 E0\n; zone z\n" + write(a) + "\n" + write(b) + " E0.4\n"
	planar := "G1 X95 Y100 Z10 F6000\nG1 X105 Y100 E0.4 F1200\n"
	z := &unwarp.Zone{Name: "z", LayerHeight: 0.2}
	src := readback.Source{Zone: z, Open: func() (io.ReadCloser, error) { return io.NopCloser(strings.NewReader(planar)), nil }}
	for tolerance, want := range map[float64]float64{0.02: 0.868, 0: 0, 1: 0} {
		rep, err := readback.Check(context.Background(), strings.NewReader(text), []readback.Source{src},
			readback.Options{Card: &bed, Span: readback.Span{First: 1, Last: 4}, Tolerance: tolerance})
		if err != nil {
			t.Fatal(err)
		}
		if rep.Beads != 1 || rep.Missing > 0 || math.Abs(rep.Deviation-want) > 0.005 {
			t.Errorf("tolerance %g: %d beads, %d missing, %.4f mm aside, want %.3f", tolerance, rep.Beads, rep.Missing, rep.Deviation, want)
		}
	}
}
