package lessons

import (
	"context"
	"errors"
	"math"
	"testing"

	"conewright/geom/form"
	"conewright/geom/job"
	"conewright/geom/overhang"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Each lesson's claim holds against what geom computes of its demo part. The
// numbers here are written as the texts say them, not taken from the lessons.

// shown is what geom finds on a lesson's part.
type shown struct {
	regions  []*job.Region
	overhang float64
	starts   []overhang.Start
}

func at(key string) *Lesson {
	for _, l := range All() {
		if l.Key == key {
			return &l
		}
	}
	return nil
}

// find judges a lesson's setup, before or after the lesson's change, with changes
// of the test's own.
func find(t *testing.T, key string, after bool, changes ...func(*job.Setup)) shown {
	t.Helper()
	s, err := at(key).setup(t.TempDir(), after)
	if err != nil {
		t.Fatal(err)
	}
	for _, change := range changes {
		change(s)
	}
	model, err := job.ReadModel(context.Background(), s)
	if err != nil {
		t.Fatal(err)
	}
	regions, err := job.Divide(context.Background(), s, model)
	if err != nil {
		t.Fatal(err)
	}
	out := shown{regions: regions}
	for _, g := range regions {
		if err := g.Warp(context.Background(), s.Tolerance); err != nil {
			t.Fatal(err)
		}
		j, err := job.Judge(context.Background(), g, s.Overhang, job.JudgeLevel(g, s.Overhang))
		if err != nil {
			t.Fatal(err)
		}
		out.overhang += j.Overhang.Area
		out.starts = append(out.starts, j.Starts...)
	}
	return out
}

// near fails where a figure isn't what a text says.
func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if math.Abs(got-want) > within {
		t.Errorf("%s: %g, the text says %g", what, got, want)
	}
}

// solves fails where an exercise's answer isn't what was computed.
func solves(t *testing.T, key string, v float64) {
	t.Helper()
	if a := at(key).Answer; !a.Holds(v) || a.Holds(v*1.2) || a.Holds(v/1.2) {
		t.Errorf("%s: computed %g, the answer is %g within %g", key, v, a.Value, a.Within)
	}
}

func TestTheHatchUnderTheCapGoesAllAtOnce(t *testing.T) {
	all := find(t, "droop", false).overhang
	under := math.Pi * (20*20 - 8*8) // the underside between stem and rim
	near(t, "hatch of level layers", all, under, 0.01*under)
	near(t, "hatch of 30 degrees", find(t, "droop", true).overhang, all, 1e-6*all)
	if at("droop").Right != 0 {
		t.Error("all of it is the first answer")
	}
	for angle, left := range map[float64]bool{44: true, 45: false} {
		if got := find(t, "droop", true, setAngle(angle)).overhang; (got > 0) != left {
			t.Errorf("%g degrees leave %g mm2", angle, got)
		}
	}
}

// A wall that leans out by 60 degrees: the side of a body that widens upward.
func TestALeaningWallHoldsFromTheExercisesAngleOn(t *testing.T) {
	const rise = 10.0
	wide := 2 + rise*math.Tan(60*math.Pi/180)
	m := form.Turned([]r2.Vec{{X: 0, Y: 0}, {X: 2, Y: 0}, {X: wide, Y: rise}, {X: 0, Y: rise}}, 96)
	holds := func(angle float64) bool {
		f := (&job.Field{Kind: job.KindCone, Grow: job.GrowOutward, Angle: angle, Axis: &[2]float64{0, 0}}).Lift()
		found := overhang.Find(m, &f, 45)
		return found.Area < 0.05*math.Pi*wide*wide
	}
	if holds(13) || !holds(15) {
		t.Errorf("13 degrees hold: %v, 15: %v", holds(13), holds(15))
	}
	solves(t, "droop", 15)
}

// lowest returns the place of a zone's surface that its shells reach first.
func lowest(g *job.Region, among func(r3.Vec) bool) r3.Vec {
	best, first := math.Inf(1), r3.Vec{}
	for _, v := range g.Mesh.Vertices {
		if h := v.Z + g.Field.At(r2.Vec{X: v.X, Y: v.Y}); among(v) && h < best {
			best, first = h, v
		}
	}
	return first
}

func distance(v r3.Vec, axis [2]float64) float64 { return math.Hypot(v.X-axis[0], v.Y-axis[1]) }

var seat = [2]float64{125, 105}

func TestTheFirstBeadOfAnOutwardConeLiesAtItsAxis(t *testing.T) {
	g := find(t, "shell", true).regions[0]
	best, first := math.Inf(1), r3.Vec{}
	for x := -16.0; x <= 16; x += 0.5 { // just over the bed, inside the part
		for y := -16.0; y <= 16; y += 0.5 {
			v := r3.Vec{X: seat[0] + x, Y: seat[1] + y, Z: 0.01}
			if h := v.Z + g.Field.At(r2.Vec{X: v.X, Y: v.Y}); g.Mesh.Holds(v) && h < best {
				best, first = h, v
			}
		}
	}
	if r := distance(first, seat); r > 0.01 || at("shell").Right != 1 {
		t.Errorf("the first bead lies %g mm from the axis", r)
	}
	rim := 0.0
	for _, v := range g.Mesh.Vertices {
		if v.Z < 0.001 {
			rim = math.Max(rim, distance(v, seat))
		}
	}
	near(t, "radius of the foot", rim, 15, 0.01)
	solves(t, "shell", g.Field.At(r2.Vec{X: seat[0] + rim, Y: seat[1]})-g.Field.At(r2.Vec{X: seat[0], Y: seat[1]}))
}

func TestAnOutwardConeBeginsTheShelfInMidAirAndAnInwardOneAtTheWall(t *testing.T) {
	out := find(t, "begin", true)
	if out.overhang != 0 || len(out.starts) != 1 {
		t.Fatalf("outward: %g mm2, %d starts", out.overhang, len(out.starts))
	}
	near(t, "start of the shelf from the axis", distance(out.starts[0].At, seat), 13, 0.05)
	near(t, "start of the shelf above the bed", out.starts[0].At.Z, 24, 0.01)
	solves(t, "begin", out.starts[0].Rise)

	in := find(t, "inward", true)
	if in.overhang != 0 || len(in.starts) != 0 {
		t.Errorf("inward: %g mm2, %d starts", in.overhang, len(in.starts))
	}
	underside := func(v r3.Vec) bool { return math.Abs(v.Z-24) < 0.001 }
	near(t, "where inward shells meet the shelf", distance(lowest(in.regions[0], underside), seat), 20, 0.05)
	if at("begin").Right != 1 || at("inward").Right != 0 {
		t.Error("free edge and wall are the second and the first answer")
	}
	rim := find(t, "shell", true, setCone(job.GrowInward, 45)).starts
	if len(rim) != 1 {
		t.Fatalf("the cap begins %d times", len(rim))
	}
	solves(t, "inward", distance(rim[0].At, seat))
}

func TestAFixedTiltStaysFixed(t *testing.T) {
	s, err := at("square").setup(t.TempDir(), true)
	if err != nil {
		t.Fatal(err)
	}
	head := s.Machine.Card.Head
	tilt := head.Tilt * math.Pi / 180
	nozzle := r3.Vec{X: math.Sin(tilt), Z: math.Cos(tilt)}
	off := func(angle float64) float64 { // between the nozzle and the shell's normal, leaning the same way
		a := angle * math.Pi / 180
		return math.Acos(min(1, r3.Dot(nozzle, r3.Vec{X: math.Sin(a), Z: math.Cos(a)}))) * 180 / math.Pi
	}
	near(t, "off square on shells of 20 degrees", off(s.Zones.Field.Angle), 25, 0.01)
	if at("square").Right != 1 || off(25) > head.OffSquare+1e-6 || off(24) < head.OffSquare {
		t.Errorf("25 degrees are %g off, 24 are %g", off(25), off(24))
	}
	solves(t, "square", head.Tilt-head.OffSquare)
}

func TestTheWarpKeepsTheVolumeAndLiftsByTheDistance(t *testing.T) {
	g := find(t, "warp", true).regions[0]
	volume := g.Mesh.Volume()
	near(t, "volume of the warped part", g.Warped.Volume(), volume, 0.002*volume)
	edge := 0.0
	for i, v := range g.Mesh.Vertices {
		if math.Abs(v.Z-26) < 0.001 && distance(v, seat) > 19.99 {
			edge = g.Mesh.Vertices[i].Z + g.Field.At(r2.Vec{X: v.X, Y: v.Y})
		}
	}
	solves(t, "warp", edge)
}

func TestLayersAreHigherThanShellsAreThick(t *testing.T) {
	g := find(t, "slice", true).regions[0]
	near(t, "layers at 45 degrees", g.Numbers.LayerHeight, 0.28, 0.005)
	steep := find(t, "slice", true, setAngle(60)).regions[0]
	solves(t, "slice", steep.Numbers.LayerHeight)
	if at("slice").Right != 2 {
		t.Error("0.28 mm is the last answer")
	}
}

func TestAStraightMoveWouldRunBelowItsShell(t *testing.T) {
	g := find(t, "back", true).regions[0]
	// How far the middle of a lowered move lies under its own shell.
	deep := func(long, beside float64) float64 {
		end := g.Field.At(r2.Vec{X: seat[0] + long/2, Y: seat[1] + beside})
		return end - g.Field.At(r2.Vec{X: seat[0], Y: seat[1] + beside})
	}
	near(t, "a move of 20 mm, 5 mm from the axis", deep(20, 5), 6.2, 0.05)
	solves(t, "back", deep(8, 3))
	// The drawing: the shell 6.2 mm over the straight move, pieces within its tolerance,
	// and shorter near the axis than far from it.
	c := newChord()
	near(t, "depth that is drawn", c.depth, deep(20, 5), 1e-9)
	n := len(c.cuts) - 1
	if n < 3 || c.cuts[0] != 0 || c.cuts[n] != 1 {
		t.Fatalf("cut at %v", c.cuts)
	}
	for i := range n {
		middle := (c.cuts[i] + c.cuts[i+1]) / 2
		if gap := c.height(middle) - (c.height(c.cuts[i])+c.height(c.cuts[i+1]))/2; gap > chordTolerance+1e-9 {
			t.Errorf("piece %d strays %g mm", i, gap)
		}
	}
	if first, inner := c.cuts[1]-c.cuts[0], c.cuts[n/2+1]-c.cuts[n/2]; first <= inner {
		t.Errorf("the outer piece is %g long, one near the axis %g", first, inner)
	}
}

func TestThePipeNeedsTwoZonesAndTheCutHasALimit(t *testing.T) {
	one := find(t, "cuts", false)
	if len(one.regions) != 1 || len(one.starts) != 1 || math.Abs(one.starts[0].At.Z-30) > 0.01 {
		t.Errorf("one outward cone: %d zones, starts %v", len(one.regions), one.starts)
	}
	inward := find(t, "cuts", false, setCone(job.GrowInward, 45))
	if len(inward.starts) != 1 || math.Abs(inward.starts[0].At.Z-10) > 0.01 {
		t.Errorf("one inward cone: starts %v", inward.starts)
	}
	cutAt := func(z float64) func(*job.Setup) {
		return func(s *job.Setup) { s.Zones.Cut.Point[2] = z }
	}
	for z, starts := range map[float64]int{18: 0, 29.5: 0, 30.5: 1} {
		if got := find(t, "cuts", true, cutAt(z)); len(got.regions) != 2 || len(got.starts) != starts || got.overhang > 0 {
			t.Errorf("cut at %g: %d zones, %d starts, %g mm2", z, len(got.regions), len(got.starts), got.overhang)
		}
	}
	solves(t, "cuts", 30)
}

func TestARampCarriesTheBeamAndAConeAboutTheMiddleDoesnt(t *testing.T) {
	if level := find(t, "ramps", false); level.overhang < 100 {
		t.Errorf("level layers leave only %g mm2", level.overhang)
	}
	if ramp := find(t, "ramps", true); ramp.overhang != 0 || len(ramp.starts) != 0 || at("ramps").Right != 1 {
		t.Errorf("ramp: %g mm2, %d starts", ramp.overhang, len(ramp.starts))
	}
	if cone := find(t, "ramps", true, setCone(job.GrowOutward, 45)); len(cone.starts) != 1 {
		t.Errorf("a cone about the middle: %d starts", len(cone.starts))
	}
	// Shells 0.2 mm apart, square to them: a level belt meets the next one so far on.
	f := (&job.Field{Kind: job.KindRamp, Angle: 30}).Lift()
	apart := 0.2 / math.Cos(30*math.Pi/180) // straight up
	solves(t, "ramps", apart/(f.At(r2.Vec{X: 1})-f.At(r2.Vec{})))
}

func TestAnUprightNozzlePrintsTheBowlWithShallowCones(t *testing.T) {
	if level := find(t, "three", false); level.overhang < 1000 {
		t.Errorf("level layers leave only %g mm2", level.overhang)
	}
	done := find(t, "three", true)
	if done.overhang != 0 || len(done.starts) != 0 || len(done.regions) != 2 || done.regions[1].Spec.Angle != 15 {
		t.Errorf("%d zones: %g mm2, %d starts", len(done.regions), done.overhang, len(done.starts))
	}
	s, err := at("three").setup(t.TempDir(), true)
	if err != nil {
		t.Fatal(err)
	}
	head := s.Machine.Card.Head
	near(t, "the card's off square", head.OffSquare, 20, 0)
	near(t, "the card's tilt", head.Tilt, 0, 0)
	near(t, "lean of the bowl", math.Atan2(16, 10)*180/math.Pi, 58, 0.1) // from 6 mm to 22 mm over 10 mm
	solves(t, "three", s.Overhang+head.OffSquare)
}

func TestTheHeadMeetsTheOtherHalfOfTheGantry(t *testing.T) {
	halves := find(t, "clear", true)
	if len(halves.regions) != 2 || halves.overhang != 0 || len(halves.starts) != 0 {
		t.Errorf("%d zones: %g mm2, %d starts", len(halves.regions), halves.overhang, len(halves.starts))
	}
	s, err := at("clear").setup(t.TempDir(), true)
	if err != nil {
		t.Fatal(err)
	}
	found := false
	for _, p := range s.Machine.Card.Head.Profile {
		if p[0] == 20 && p[1] == 12 {
			found = true
		}
	}
	if !found {
		t.Errorf("the head's profile is %v", s.Machine.Card.Head.Profile)
	}
	solves(t, "clear", 20*math.Cos(math.Pi/4)-12*math.Sin(math.Pi/4))
	if testing.Short() {
		t.Skip("a run takes long")
	}
	result, err := job.Run(context.Background(), s, job.Options{Out: t.TempDir()})
	if !errors.Is(err, job.ErrStopped) {
		t.Fatalf("nothing kept the motion from being written: %v", err)
	}
	for _, f := range result.Log.Findings {
		if f.Code == "collision" && f.Zone == "right" {
			return
		}
	}
	t.Error("the run tells no collision of the right half")
}

// A click on the sheet stands for the answer whose place it hits; beside them for none.
func TestPlacesOnTheSheetStandForAnswers(t *testing.T) {
	middle := r2.Vec{X: seat[0], Y: seat[1]}
	for _, c := range []struct {
		key       string
		x, y, z   float64
		fromAbove bool
		want      int
	}{
		{"shell", 0.5, 0, 0, false, 1}, {"shell", -14.8, 0, 0.2, false, 0}, {"shell", 0, 0, 30, false, unchosen},
		{"shell", 0, 14.9, 0, true, 0}, {"shell", 40, 0, 0, true, unchosen},
		{"begin", 13.2, 0, 24, false, 1}, {"begin", -19.8, 0, 24, false, 0}, {"begin", 3, 0, 24, false, unchosen},
		{"inward", 0, -19.5, 0, true, 0}, {"inward", 0, -13.1, 0, true, 1},
		{"droop", 0, 0, 0, false, unchosen},
	} {
		if got := at(c.key).chosenBy(r3.Vec{X: seat[0] + c.x, Y: seat[1] + c.y, Z: c.z}, middle, c.fromAbove); got != c.want {
			t.Errorf("%s at %g, %g, %g: %d, want %d", c.key, c.x, c.y, c.z, got, c.want)
		}
	}
}
