package clearance

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"conewright/geom/machine"

	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// bar is an upright cylinder of radius 5; what it lays comes within 1 mm of it
// where tip_free ends.
func bar(boxes ...machine.Box) machine.Head {
	return machine.Head{TipFree: 6, Profile: [][2]float64{{0, 5}, {50, 5}}, Boxes: boxes}
}

// Distances between a cylinder, a box and straight things can be told by
// subtraction.
func TestLeastClearanceIsTheDistance(t *testing.T) {
	bead := func(s *scene) {
		s.at = at(120, 100, 40)
		s.step(at(120, 110, 40), beadArea, r3.Vec{Z: 1})
		s.travel(120, 110, 80)
	}
	for _, c := range []struct {
		name   string
		head   machine.Head
		clips  []machine.Box
		build  func(s *scene)
		want   float64
		target Target
		part   Part
	}{
		{"side of the cylinder to the side of a bead", bar(), nil, func(s *scene) {
			bead(s)
			s.travel(125.6, 105, 80)
			s.travel(125.6, 105, 20)
		}, 0.6 - beadWidth/2, Material, Part{}},
		{"the same, passed by sideways", bar(), nil, func(s *scene) {
			bead(s)
			s.travel(145.7, 85.03, 80)
			s.travel(145.7, 85.03, 20)
			s.travel(125.7, 105.03, 20)
			s.travel(145.7, 125.03, 20)
		}, 0.7 - beadWidth/2, Material, Part{}},
		{"bottom of a box to the top of a bead", bar(boxAt(7, -1, 3, 12, 1, 10)), nil, func(s *scene) {
			bead(s)
			s.travel(110.5, 105, 80)
			s.travel(110.5, 105, 37.6)
		}, 0.6, Material, Part{Box: true}},
		{"box to the end of a bead", bar(boxAt(5, -1, 10, 15, 1, 20)), nil, func(s *scene) {
			bead(s)
			s.travel(104.5, 105, 80)
			s.travel(104.5, 105, 25)
		}, 120 - beadWidth/2 - (104.5 + 15), Material, Part{Box: true}},
		{"side of the cylinder to an obstacle", bar(), []machine.Box{boxAt(0, 0, 0, 10, 200, 30)}, func(s *scene) {
			s.over(at(17, 100, 10), 60)
			s.travel(16.5, 110, 10)
		}, 1.5, Obstacle, Part{}},
		{"bottom of the cylinder to an obstacle", bar(), []machine.Box{boxAt(0, 0, 0, 10, 200, 30)}, func(s *scene) {
			s.over(at(7, 100, 32), 60)
			s.travel(7, 110, 32)
		}, 2, Obstacle, Part{}},
		{"nothing near", bar(), []machine.Box{boxAt(0, 0, 0, 10, 200, 30)}, func(s *scene) { s.travel(100, 100, 20) }, 5, Material, Part{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := newScene(t, c.head, c.clips...)
			s.at = at(120, 100, 80)
			c.build(s)
			r := s.check()
			if math.Abs(r.Least.Distance-c.want) > 0.04 {
				t.Fatalf("least clearance %+v, want %g", r.Least, c.want)
			}
			if c.name != "nothing near" && (r.Least.Target != c.target || r.Least.Part != c.part || r.Least.Line == 0) {
				t.Errorf("least clearance %+v: wrong thing", r.Least)
			}
		})
	}
}

func TestLeastClearanceFromTheBedIsExactAndLeavesOutTheTip(t *testing.T) {
	s := newScene(t, with(straight(), nil, boxAt(20, -5, 3, 30, 5, 10)))
	s.over(at(120, 100, 0.2), 50)
	r := s.check()
	// Profile (0, 0.4) to (1, 0.9) leaves a ball of 1 mm where 1.25 a^2 + 0.4 a =
	// 0.84.
	a := (-0.4 + math.Sqrt(0.16+4*1.25*0.84)) / 2.5
	if want := 0.2 + a; math.Abs(r.LeastBed.Distance-want) > 1e-5 {
		t.Errorf("%+v, want %g", r.LeastBed, want)
	}
}

func TestDepthOfACollisionIsNearlyRight(t *testing.T) {
	s := newScene(t, bar(boxAt(7, -1, 3, 12, 1, 10)))
	s.at = at(120, 90, 40)
	s.step(at(120, 110, 40), beadArea, r3.Vec{Z: 1})
	s.travel(120, 110, 80)
	s.travel(110.5, 100, 80)
	s.travel(110.5, 100, 36.2) // box 0.8 below the top of the bead, 0.2 thick
	r := s.check()
	if len(r.Collisions) != 1 || r.Moves != 1 {
		t.Fatalf("%+v", r)
	}
	if c := r.Collisions[0]; 1.25*c.Depth+0.05 < 0.8 || c.Depth > 0.81 || c.LaidLine != 1 || c.Line != 4 || c.Step != 4 {
		t.Errorf("%+v, want a depth of 0.8 in line 4", c)
	}
	if text := r.Collisions[0].String(); !strings.Contains(text, "line 4") || !strings.Contains(text, "line 1 printed") {
		t.Error(text)
	}
}

func TestWidthIsTheInverseOfTheStadium(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := rapid.Float64Range(0.05, 1).Draw(t, "thickness")
		w := h * rapid.Float64Range(1, 10).Draw(t, "ratio")
		if got := Width((w-h)*h+math.Pi*h*h/4, h); math.Abs(got-w) > 1e-9 {
			t.Fatalf("%g, want %g", got, w)
		}
	})
}

func TestStepsThatCannotBeUsedAreRefused(t *testing.T) {
	check := func(o Options, s ...Step) error {
		_, err := Check(context.Background(), o, MotionOf(s), nil)
		return err
	}
	o := Options{Head: straight()}
	for _, bad := range []machine.Pose{at(math.NaN(), 0, 0), at(0, math.Inf(1), 0), at(0, 0, 1e5), {Azimuth: math.NaN()}, {Azimuth: 1e300}} {
		if err := check(o, Step{To: bad}); !errors.Is(err, ErrStep) {
			t.Errorf("%+v: %v", bad, err)
		}
		if err := check(o, Step{From: bad}); !errors.Is(err, ErrStep) {
			t.Errorf("%+v: %v", bad, err)
		}
	}
	if err := check(Options{}); err == nil {
		t.Error("a head without a profile passes")
	}
	if err := check(Options{Head: straight(), Voxel: -1}); err == nil {
		t.Error("a voxel of -1 passes")
	}
}

// Odd numbers in what a step lays must neither panic nor take for ever.
func TestOddBeadsAreSurvived(t *testing.T) {
	s := newScene(t, straight())
	s.at = at(10, 10, 5)
	for i, area := range []float64{1e9, math.Inf(1), math.NaN(), 1e-30, -1} {
		for _, up := range []r3.Vec{{}, {X: math.NaN()}, {X: 1}, {Z: -1}, {Y: math.Inf(1)}, {X: 1e-300}} {
			to := at(10+float64(i), 12, 5)
			s.steps = append(s.steps, Step{From: s.at, To: to, Area: area, Up: up, Thickness: area})
			s.at = at(10, 10, 5)
		}
	}
	s.check()
}

func TestEmptyMotionIsClear(t *testing.T) {
	if r := newScene(t, straight()).check(); len(r.Collisions) > 0 || r.Steps != 0 {
		t.Errorf("%+v", r)
	}
}

func TestCancelledCheckStops(t *testing.T) {
	s := newScene(t, straight())
	s.disc(middle, 1, 4, 1, 1)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Check(ctx, s.o, MotionOf(s.steps), nil); !errors.Is(err, context.Canceled) {
		t.Errorf("error %v", err)
	}
}

// Beads metres apart would need more small voxels than fit: they get larger
// ones, and the collision is found all the same.
func TestFarSpreadMotionGetsCoarserVoxels(t *testing.T) {
	s := newScene(t, straight())
	for _, p := range []r3.Vec{{X: -9000, Y: -9000, Z: 1}, {X: 9000, Y: 9000, Z: 9000}, {X: 120, Y: 100, Z: 6}} {
		s.at = machine.Pose{Tip: p}
		s.step(at(p.X+5, p.Y, p.Z), beadArea, r3.Vec{Z: 1})
	}
	s.at = at(122, 80, 2)
	s.travel(122, 120, 2)
	r := s.check()
	if len(r.Collisions) != 1 || r.Collisions[0].LaidLine != 3 {
		t.Errorf("%+v", r)
	}
}

func TestCollisionsInManyPlacesAreGrouped(t *testing.T) {
	s := newScene(t, straight())
	s.wall(60, 100, 180, 100, 4)
	for x := 70.0; x < 180; x += 40 {
		s.over(at(x, 90, 1), 40)
		for y := 90.0; y < 110; y += 0.5 {
			s.travel(x, y, 1)
		}
	}
	r := s.check()
	if r.Moves < 20 || r.Groups < 3 || r.Groups > 12 {
		t.Errorf("%d moves in %d groups", r.Moves, r.Groups)
	}
	for i := 1; i < len(r.Collisions); i++ {
		if r.Collisions[i].Step < r.Collisions[i-1].Step {
			t.Error("groups aren't in the order of the motion")
		}
	}
}

func TestProgressRisesToOne(t *testing.T) {
	s := newScene(t, straight())
	s.disc(middle, 1, 10, 5, 1)
	last := 0.0
	if _, err := Check(context.Background(), s.o, MotionOf(s.steps), func(d float64) {
		if d < last {
			t.Errorf("progress %g after %g", d, last)
		}
		last = d
	}); err != nil {
		t.Fatal(err)
	}
	if last != 1 {
		t.Errorf("progress ends at %g", last)
	}
}
