package pictures

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"conewright/geom/machine"
	"conewright/geom/readback"
)

// zigzag is a motion of short moves, which accelerations bound more than feeds.
func zigzag(moves int) string {
	var s strings.Builder
	s.WriteString("; zone a\nG92 E0\nG1 X100 Y100 Z0.2 F6000\n")
	for i := 1; i <= moves; i++ {
		fmt.Fprintf(&s, "G1 X%.3f Y%.3f E%.4f F6000\n", 100+float64(i%2), 100+float64(i)/50, float64(i)/50)
	}
	return s.String()
}

func TestTheTrackTakesAsLongAsTheEstimate(t *testing.T) {
	c, text := card(t), zigzag(3000)
	estimate, words := machine.NewEstimator(c), 0.0
	err := readback.Steps(strings.NewReader(text), c, readback.Span{First: 1, Last: math.MaxInt}, func(s *readback.Step) error {
		estimate.Add(s.AxisSteps(), s.Seconds)
		words += s.Seconds
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	want := estimate.Total()
	if want < 1.2*words {
		t.Fatalf("the estimate, %.1f s, is no more than the %.1f s of the feed words: nothing is tested", want, words)
	}
	for seconds, want := range map[float64]float64{0: want, 1234: 1234} {
		track, err := ReadTrack(context.Background(), write(t, text), setupOf(c), seconds)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(track.Seconds()-want) > 1e-3*want {
			t.Errorf("it takes %.2f s, not %.2f", track.Seconds(), want)
		}
		_, head := track.At(want / 2) // the moves are all alike
		if y := head.Tip.Y - c.Pose(machine.Words{}).Tip.Y; math.Abs(y-130) > 0.5 {
			t.Errorf("half-way through its time it is at y = %.2f, not 130", y)
		}
		for i := 1; i < len(track.points); i++ {
			if track.points[i].time < track.points[i-1].time {
				t.Fatalf("time runs back at point %d", i)
			}
		}
	}
}

func TestASkirtBelongsToNoZone(t *testing.T) {
	text := `; zone skirt
G92 E0
G1 X90 Y90 Z0.2 F6000
G1 X130 E1 F600
; zone a
G1 X100 Y100
G1 X110 E2
G1 Y110 E3
`
	setup := setupOf(card(t))
	laid, err := Beads(write(t, text), setup)
	if err != nil {
		t.Fatal(err)
	}
	if laid.Before != 1 || len(laid.Counts) != 1 || laid.Counts[0] != 1 || laid.Width != setup.Bead {
		t.Errorf("before %d, by zone %v of %d beads, %g wide", laid.Before, laid.Counts, len(laid.Beads), laid.Width)
	}
}
