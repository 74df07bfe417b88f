// Package lessons is a course for a class. Each lesson puts a demo job on the
// sheet, asks what a change will do, makes the change, says what came and why,
// and ends with an exercise whose answer it checks. The window lends it the sheet
// through a Stage.
package lessons

import (
	"math"
	"path/filepath"

	"conewright/assets"
	"conewright/geom/job"
	"conewright/geom/message"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Control is what a lesson gives to try with, beside the sheet itself.
type Control uint8

// The controls.
const (
	Nothing   Control = iota
	WarpSlide         // the part from real to warped
	AngleRow          // the cone's angle
	CutSwitch         // one zone, or the job's two
	Chord             // a drawing of a straight move over its shell
)

// Rule is a line of figures that follows what is dragged.
type Rule uint8

// The rules.
const (
	NoRule       Rule = iota
	OverhangRule      // a level underside's overhang, measured from the shell
	SquareRule        // how far the head stands off square
)

// Choices is how many answers a question offers.
const Choices = 3

// Lesson is one of the course. Its texts are in the catalogue under lesson.KEY:
// .title, .ask (the question to foretell), .a .b .c (the answers offered), .came
// (what came and why), .task (the exercise), .solved (its answer explained).
type Lesson struct {
	Key                string
	Job                string           // demo job
	Before, After      func(*job.Setup) // what is done to it while one foretells, and after; nil: nothing
	Azimuth, Elevation float64          // from where one looks, degrees
	WarpBefore         float64          // 0 real, 1 warped
	WarpAfter          float64
	Control            Control // after the question
	Rule               Rule    // after the question
	Right              int     // the right one of the answers offered, from 0
	Places             []Place // where a click in elevation or plan chooses an answer
	Answer             Answer  // of the exercise
}

// Place is a part of the sheet that stands for an answer: a ring about the part's
// middle, between two heights, mm. In plan the heights don't count.
type Place struct {
	Choice          int // from 0
	Inner, Outer    float64
	Lowest, Topmost float64
}

// chosenBy returns the answer for which a place of the bed's frame stands, or
// unchosen. Seen from above, heights aren't known.
func (l *Lesson) chosenBy(at r3.Vec, middle r2.Vec, fromAbove bool) int {
	off := math.Abs(at.X - middle.X) // the elevation cuts through the middle
	if fromAbove {
		off = r2.Norm(r2.Sub(r2.Vec{X: at.X, Y: at.Y}, middle))
	}
	for _, p := range l.Places {
		if off >= p.Inner && off <= p.Outer && (fromAbove || at.Z >= p.Lowest && at.Z <= p.Topmost) {
			return p.Choice
		}
	}
	return unchosen
}

// Answer is a number that solves an exercise.
type Answer struct {
	Value, Within float64
	Unit          string // mm or °
}

// Holds reports whether a number solves the exercise.
func (a Answer) Holds(v float64) bool { return math.Abs(v-a.Value) <= a.Within }

// Shelf and cap of the demo parts, mm: the exercises ask for them.
const (
	footRadius = 15.0 // of the bollard
	capRadius  = 20.0 // of the bollard's cap
	capUnder   = 26.0 // height of the cap's underside
	shelfInner = 13.0 // radius of the free edge of the penstock's shelf
	shelfOuter = 20.0 // radius of the wall that holds it
	pipeShelf  = 30.0 // height of the underside of the standpipe's shelf
)

// All lists the lessons in their order.
func All() []Lesson {
	const cone, tube, pipe = assets.DemoJob, "penstock", "standpipe-out-and-in"
	// On the bed: the rim of the foot or its middle. Under the shelf: the wall or the edge.
	foot := []Place{{0, footRadius / 2, footRadius + 1, -1, 5}, {1, 0, footRadius / 2, -1, 5}}
	between := (shelfInner + shelfOuter) / 2
	shelf := []Place{{0, between, shelfOuter + 4, 20, 29}, {1, shelfInner - 2, between, 20, 29}}
	outward, inward, level := setCone(job.GrowOutward, 45), setCone(job.GrowInward, 45), setAngle(0)
	return []Lesson{
		{Key: "droop", Job: cone, Before: level, After: setAngle(30), Azimuth: -60, Elevation: -12,
			Control: AngleRow, Rule: OverhangRule, Right: 0, Answer: Answer{15, 0.6, "°"}},
		{Key: "shell", Job: cone, Before: level, Azimuth: -60, Elevation: 24,
			Control: AngleRow, Right: 1, Places: foot, Answer: Answer{footRadius, 0.2, "mm"}},
		{Key: "begin", Job: tube, Before: level, After: outward, Azimuth: -60, Elevation: -30,
			Right: 1, Places: shelf, Answer: Answer{shelfOuter - shelfInner, 0.1, "mm"}},
		{Key: "square", Job: cone, After: setAngle(20), Azimuth: -60, Elevation: 12,
			Control: AngleRow, Rule: SquareRule, Right: 1, Answer: Answer{25, 0.5, "°"}},
		{Key: "inward", Job: tube, Before: outward, After: inward, Azimuth: -60, Elevation: -30,
			Right: 0, Places: shelf, Answer: Answer{capRadius, 0.2, "mm"}},
		{Key: "warp", Job: cone, Azimuth: -60, Elevation: 12, WarpAfter: 1,
			Control: WarpSlide, Right: 1, Answer: Answer{capUnder + capRadius, 0.5, "mm"}},
		{Key: "slice", Job: cone, Azimuth: -60, Elevation: 12, WarpBefore: 1,
			Control: WarpSlide, Right: 2, Answer: Answer{0.4, 0.005, "mm"}},
		{Key: "back", Job: cone, Azimuth: -60, Elevation: 50,
			Control: Chord, Right: 2, Answer: Answer{2, 0.05, "mm"}},
		{Key: "cuts", Job: pipe, Before: joinZones, Azimuth: -60, Elevation: -20,
			Control: CutSwitch, Right: 1, Answer: Answer{pipeShelf, 0.5, "mm"}},
		{Key: "ramps", Job: "gantry", Before: level, Azimuth: -60, Elevation: -12,
			Right: 1, Answer: Answer{0.4, 0.005, "mm"}},
		{Key: "three", Job: "brazier-stem-and-bowl", Before: level, Azimuth: -60, Elevation: -12,
			Right: 1, Answer: Answer{65, 0.5, "°"}},
		{Key: "clear", Job: "gantry-upright-cut", Before: setRamp(45), Azimuth: -60, Elevation: 24,
			Right: 1, Answer: Answer{5.66, 0.1, "mm"}},
	}
}

// setAngle gives all of the part an outward cone about the part's middle of an
// angle in degrees; 0 is level.
func setAngle(angle float64) func(*job.Setup) {
	if angle == 0 {
		return func(s *job.Setup) {
			joinZones(s)
			s.Zones.Field = &job.Field{Kind: job.KindLevel}
		}
	}
	return setCone(job.GrowOutward, angle)
}

// setCone gives all of the part a cone about the part's middle, degrees.
func setCone(grow string, angle float64) func(*job.Setup) {
	return func(s *job.Setup) {
		joinZones(s)
		axis := *s.Part.Seat
		s.Zones.Field = &job.Field{Kind: job.KindCone, Grow: grow, Angle: angle, Axis: &axis}
	}
}

// joinZones leaves one zone with the lowest one's field.
func joinZones(s *job.Setup) {
	if leaves := s.Zones.Leaves(); len(leaves) > 1 {
		s.Zones = &job.Zone{Name: leaves[0].Name, Field: leaves[0].Field}
	}
}

// setRamp gives all of the part a ramp along x, degrees.
func setRamp(angle float64) func(*job.Setup) {
	return func(s *job.Setup) {
		joinZones(s)
		s.Zones.Field = &job.Field{Kind: job.KindRamp, Angle: angle}
	}
}

// setup reads the lesson's job, unpacked into dir, as it stands before or after
// the change.
func (l *Lesson) setup(dir string, after bool) (*job.Setup, error) {
	path, err := assets.Unpack(filepath.Join(dir, "demo"), l.Job)
	if err != nil {
		return nil, message.Errorf("the lesson can't be opened: %w", err)
	}
	s, err := job.Load(path)
	if err != nil {
		return nil, message.Errorf("the lesson can't be opened: %w", err)
	}
	change := l.Before
	if after {
		change = l.After
	}
	if change != nil {
		change(s)
	}
	return s, nil
}
