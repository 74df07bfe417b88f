package pictures

import (
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"conewright/geom/deposit"
	"conewright/geom/job"
	"conewright/geom/machine"

	"gonum.org/v1/gonum/spatial/r3"
)

func card(t *testing.T) *machine.Card {
	t.Helper()
	built, ok := machine.Builtin("swivel-45")
	if !ok {
		t.Fatal("no such card")
	}
	c := *built
	return &c
}

func setupOf(c *machine.Card) *job.Setup {
	return &job.Setup{Machine: job.Machine{Card: c}, Bead: 0.45, Zones: &job.Zone{Name: "a"}}
}

func write(t *testing.T, text string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "corrected.gcode")
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return file
}

func near(a, b r3.Vec) bool { return r3.Norm(r3.Sub(a, b)) < 1e-3 }

// Of a hanging bead only what is laid by the moment is shown.
func TestATrackTellsWhatHangsAtAMoment(t *testing.T) {
	c := card(t)
	c.FeedBasis = machine.FeedTip
	track, err := ReadTrack(context.Background(), write(t, `; zone a
G92 E0
G1 X100 Y100 Z0.2 F6000
G1 X110 E1 F60
G1 X120 E2
G1 X130 E3
`), setupOf(c), 0)
	if err != nil {
		t.Fatal(err)
	}
	track.Hangs = []deposit.Hang{{Points: []r3.Vec{{X: 105}, {X: 109}, {X: 119}, {X: 129}}, Lines: []int{4, 4, 5, 6}}}
	if all := hanging(track.Hangs, math.MaxInt); len(all) != 1 || len(all[0].Points) != 4 {
		t.Errorf("at the end: %+v", all)
	}
	start := track.Seconds() - 30
	for at, want := range map[float64]int{0: 0, start + 5: 2, start + 15: 3, start + 30: 4} {
		laid, _ := track.At(at)
		if got := len(laid.Hanging); want == 0 && got != 0 || want > 0 && (got != 1 || len(laid.Hanging[0].Points) != want) {
			t.Errorf("at %g s: %+v, not %d points", at-start, laid.Hanging, want)
		}
	}
}

func TestATrackTellsWhatIsLaidAtAMoment(t *testing.T) {
	c := card(t)
	c.FeedBasis = machine.FeedTip
	// Two beads of 10 mm, 10 s each, and a travel of 20 mm in 2 s between.
	track, err := ReadTrack(context.Background(), write(t, `; zone a
G92 E0
G1 X100 Y100 Z0.2 F6000
G1 X110 E1 F60
G1 X110 Y120 F600
G1 X100 E2 F60
`), setupOf(c), 0)
	if err != nil {
		t.Fatal(err)
	}
	start := track.Seconds() - 22
	for _, want := range []struct {
		at    float64
		beads int
		tip   r3.Vec
	}{
		{0, 0, r3.Vec{X: 100, Y: 100, Z: 0.2}},
		{start + 5, 1, r3.Vec{X: 105, Y: 100, Z: 0.2}},
		{start + 11, 1, r3.Vec{X: 110, Y: 110, Z: 0.2}},
		{start + 19.5, 2, r3.Vec{X: 102.5, Y: 120, Z: 0.2}},
		{start + 100, 2, r3.Vec{X: 100, Y: 120, Z: 0.2}},
	} {
		laid, head := track.At(want.at)
		off := r3.Sub(head.Tip, want.tip)
		off = r3.Sub(off, r3.Sub(c.Pose(machine.Words{}).Tip, r3.Vec{}))
		if len(laid.Beads) != want.beads || r3.Norm(off) > 0.1 {
			t.Errorf("at %g: %d beads, the tip at %v, not %d and %v", want.at, len(laid.Beads), head.Tip, want.beads, want.tip)
		}
	}
	laid, head := track.At(start + 19.5)
	if len(laid.Beads) == 2 {
		last := laid.Beads[1]
		if !near(last[len(last)-1], head.Tip) {
			t.Errorf("the bead ends at %v, the tip is at %v", last[len(last)-1], head.Tip)
		}
	}
}

func TestATrackStaysBoundedAndEndsWhereTheMotionEnds(t *testing.T) {
	c := card(t)
	var s strings.Builder
	s.WriteString("; zone a\nG92 E0\nG1 X125 Y100 Z0.2 F6000\n")
	const n = mostPoints*2 + 1234
	for i := 1; i <= n; i++ { // a spiral in steps of 0.06 mm and more
		sin, cos := math.Sincos(float64(i) / 400)
		r := 25 + float64(i)/20000
		fmt.Fprintf(&s, "G1 X%.3f Y%.3f E%.4f F1800\n", 125+r*sin, 125-r*cos, float64(i)/100)
	}
	track, err := ReadTrack(context.Background(), write(t, s.String()), setupOf(c), 0)
	if err != nil {
		t.Fatal(err)
	}
	if len(track.tips) >= mostPoints || len(track.tips) < mostPoints/4 {
		t.Errorf("%d points", len(track.tips))
	}
	sin, cos := math.Sincos(float64(n) / 400)
	r := 25 + float64(n)/20000
	end := r3.Vec{X: 125 + r*sin, Y: 125 - r*cos, Z: 0.2}
	shift := c.Pose(machine.Words{}).Tip
	_, head := track.At(track.Seconds())
	if d := r3.Norm(r3.Sub(r3.Sub(head.Tip, shift), end)); d > 1e-2 {
		t.Errorf("it ends %.3f mm from where the motion does", d)
	}
	laid, _ := track.At(track.Seconds())
	if len(laid.Counts) != 1 || laid.Counts[0] != len(laid.Beads) {
		t.Errorf("%d beads, by zone %v", len(laid.Beads), laid.Counts)
	}
	for _, b := range laid.Beads {
		for _, p := range b {
			if away := math.Hypot(p.X-shift.X-125, p.Y-shift.Y-125); away < 24.9 || away > r+0.1 {
				t.Fatalf("a point %v lies off the spiral", p)
			}
		}
	}
}

func TestNoTrackOfWhatIsNoMotion(t *testing.T) {
	for name, text := range map[string]string{"empty": "", "no zone": "G1 X1\n", "a strange word": "; zone a\nG1 Q7\n"} {
		if _, err := ReadTrack(context.Background(), write(t, text), setupOf(card(t)), 0); err == nil {
			t.Errorf("%s passes", name)
		}
	}
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if _, err := ReadTrack(ctx, write(t, "; zone a\nG1 X1 Y1 Z1\n"), setupOf(card(t)), 0); err == nil {
		t.Error("it isn't given up")
	}
}
