package field

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Answers is what a kind of field must tell. All functions must be pure: the
// same for the same arguments, and safe to call from several goroutines.
type Answers struct {
	// Name is the kind's name, for errors.
	Name string
	// At returns the lift, mm. It must be continuous.
	At func(p r2.Vec) float64
	// Grad returns the gradient; zero where it vanishes or isn't defined; on a
	// crease that of either side.
	Grad func(p r2.Vec) r2.Vec
	// Breaks appends the t in (0, 1), in any order, that divide the segment from
	// a (t = 0) to b (t = 1) into stretches. Inside each the gradient is
	// continuous, the azimuth is continuous, and the lift is convex or concave.
	Breaks func(ts []float64, a, b r2.Vec) []float64
	// Bend returns a bound of the lift's second derivative, in any direction, in
	// the disc of the given radius about p; +Inf where the gradient jumps in it.
	Bend func(p r2.Vec, radius float64) float64
	// Slopes returns the least and the greatest length of the gradient in the
	// disc of the given radius about p.
	Slopes func(p r2.Vec, radius float64) (least, most float64)
	// Apart returns the distance from p to the nearest place where the gradient
	// vanishes or the azimuth isn't defined; +Inf where there is none. Off
	// creases the azimuth turns by at most 1 / Apart radians a millimetre.
	Apart func(p r2.Vec) float64
	// Crease returns the distance from p to the nearest place where the gradient
	// jumps from one side's to the other's; +Inf where there is none.
	Crease func(p r2.Vec) float64
	// Slope is the greatest length of the gradient anywhere, > 0.
	Slope float64
	// EvenSlope tells that the gradient has the length Slope nearly everywhere.
	EvenSlope bool
	// Curvature tells how the lift bends as a whole.
	Curvature Curvature
	// Line is what to draw of the field in the plan; it may be empty.
	Line []r2.Vec
}

// ErrAnswer tells that a kind of field leaves an answer out.
var ErrAnswer = errors.New("an answer is missing")

// Own returns a field of a kind that isn't built in. The error names the first
// answer that is missing, and wraps ErrAnswer.
func Own(a Answers) (Field, error) {
	for _, answer := range []struct {
		name  string
		given bool
	}{
		{"Name", a.Name != ""}, {"At", a.At != nil}, {"Grad", a.Grad != nil}, {"Breaks", a.Breaks != nil},
		{"Bend", a.Bend != nil}, {"Slopes", a.Slopes != nil}, {"Apart", a.Apart != nil}, {"Crease", a.Crease != nil},
		{"Slope", a.Slope > 0 && !math.IsInf(a.Slope, 1)},
	} {
		if !answer.given {
			return Field{}, fmt.Errorf("field: the kind %q doesn't tell %s: %w", a.Name, answer.name, ErrAnswer)
		}
	}
	return Field{kind: own, slope: a.Slope, answers: &a}, nil
}

// times returns the answers of a lift that is share times as great.
func (a *Answers) times(share float64) *Answers {
	b := *a
	b.Slope *= share
	b.At = func(p r2.Vec) float64 { return share * a.At(p) }
	b.Grad = func(p r2.Vec) r2.Vec { return r2.Scale(share, a.Grad(p)) }
	b.Bend = func(p r2.Vec, radius float64) float64 {
		if share == 0 {
			return 0
		}
		return share * a.Bend(p, radius)
	}
	b.Slopes = func(p r2.Vec, radius float64) (least, most float64) {
		least, most = a.Slopes(p, radius)
		return share * least, share * most
	}
	if share == 0 {
		b.Curvature = Linear
	}
	return &b
}
