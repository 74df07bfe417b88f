package job

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"
)

// Bounds of a field about a line (CONTRACT, "FIELD").
const (
	mostLinePoints = 32
	mostKnots      = 64
	mostKnotAngle  = 80.0 // degrees
	mostFieldPlace = 1e4  // mm, of a coordinate or a distance
)

// fill puts in what the job file may leave out: a field grows outward, about the
// place where the part is seated.
func (f *Field) fill(seat [2]float64) {
	if f.Grow == "" && (f.Kind == KindCone || f.Kind == KindRidge) {
		f.Grow = GrowOutward
	}
	if f.Axis == nil && f.Kind == KindCone {
		f.Axis = &seat
	}
	if f.Line == nil && (f.Kind == KindRidge || f.Kind == KindProfile) {
		f.Line = [][2]float64{seat}
	}
}

// Steepest returns the steepest angle of the field's shells, degrees: what the
// layer height is reckoned from.
func (f *Field) Steepest() float64 {
	switch f.Kind {
	case KindLevel:
		return 0
	case KindProfile:
		most := 0.0
		for _, knot := range f.Curve {
			most = math.Max(most, math.Abs(knot[1]))
		}
		return most
	}
	return f.Angle
}

func (f *Field) line() []r2.Vec {
	line := make([]r2.Vec, len(f.Line))
	for i, p := range f.Line {
		line[i] = r2.Vec{X: p[0], Y: p[1]}
	}
	return line
}

// knots returns a profile's distances, mm, and angles, radians.
func (f *Field) knots() (distances, angles []float64) {
	for _, knot := range f.Curve {
		distances, angles = append(distances, knot[0]), append(angles, knot[1]*math.Pi/180)
	}
	return distances, angles
}

// checkLine checks the line that a field is about.
func (f *Field) checkLine(at string) error {
	if n := len(f.Line); n < 1 || n > mostLinePoints {
		return wrong(at+".line", "give 1 to 32 points", "%d points", n)
	}
	var points [][2]float64
	for i, p := range f.Line {
		if !(math.Abs(p[0]) <= mostFieldPlace && math.Abs(p[1]) <= mostFieldPlace) {
			return wrong(fmt.Sprintf("%s.line[%d]", at, i), "put the line near the part", "[%g, %g] is out of bounds", p[0], p[1])
		}
		if n := len(points); n == 0 || points[n-1] != p {
			points = append(points, p)
		}
	}
	for i := 0; i+1 < len(points); i++ {
		for j := i + 2; j+1 < len(points); j++ {
			if segmentsMeet(points[i], points[i+1], points[j], points[j+1]) {
				return wrong(at+".line", "move a point, so that they don't", "the line's segments %d and %d meet", i+1, j+1)
			}
		}
	}
	return nil
}

// segmentsMeet reports whether the segments from a to b and from c to d share a
// point.
func segmentsMeet(a, b, c, d [2]float64) bool {
	side := func(a, b, p [2]float64) float64 { return (b[0]-a[0])*(p[1]-a[1]) - (b[1]-a[1])*(p[0]-a[0]) }
	on := func(a, b, p [2]float64) bool {
		return side(a, b, p) == 0 && (p[0]-a[0])*(p[0]-b[0])+(p[1]-a[1])*(p[1]-b[1]) <= 0
	}
	if on(a, b, c) || on(a, b, d) || on(c, d, a) || on(c, d, b) {
		return true
	}
	return side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0
}

// checkCurve checks a profile's knots.
func (f *Field) checkCurve(at string) error {
	if n := len(f.Curve); n < 1 || n > mostKnots {
		return wrong(at+".curve", "give 1 to 64 knots", "%d knots", n)
	}
	for i, knot := range f.Curve {
		where := fmt.Sprintf("%s.curve[%d]", at, i)
		switch {
		case i == 0 && knot[0] != 0:
			return wrong(where, "put it at 0", "the first knot is at %g mm", knot[0])
		case i > 0 && !(knot[0] > f.Curve[i-1][0]):
			return wrong(where, "give distances that rise", "%g mm isn't farther than the knot before", knot[0])
		case !(knot[0] <= mostFieldPlace):
			return wrong(where, "give a distance near the part", "%g mm is out of bounds", knot[0])
		case !(math.Abs(knot[1]) <= mostKnotAngle):
			return wrong(where, "give -80 to 80 degrees", "%g is out of bounds", knot[1])
		}
	}
	return nil
}

// marshalAboutLine writes the numbers of a ridge or profile, all of them.
func (f *Field) marshalAboutLine() ([]byte, error) {
	if f.Kind == KindRidge {
		return json.Marshal(struct {
			Kind  string       `json:"kind"`
			Grow  string       `json:"grow"`
			Angle float64      `json:"angle"`
			Line  [][2]float64 `json:"line"`
			Round float64      `json:"round"`
		}{f.Kind, f.Grow, f.Angle, f.Line, f.Round})
	}
	return json.Marshal(struct {
		Kind  string       `json:"kind"`
		Line  [][2]float64 `json:"line"`
		Curve [][2]float64 `json:"curve"`
	}{f.Kind, f.Line, f.Curve})
}

// describeAboutLine says what a ridge or profile is, for people.
func (f *Field) describeAboutLine() string {
	var line strings.Builder
	for i, p := range f.Line {
		if i > 0 {
			line.WriteString("; ")
		}
		fmt.Fprintf(&line, "%g, %g", p[0], p[1])
	}
	if f.Kind == KindRidge {
		return fmt.Sprintf("ridge, %s, %g°, line through %s, round %g mm", f.Grow, f.Angle, line.String(), f.Round)
	}
	var curve strings.Builder
	for i, knot := range f.Curve {
		if i > 0 {
			curve.WriteString("; ")
		}
		fmt.Fprintf(&curve, "%g° at %g mm", knot[1], knot[0])
	}
	return fmt.Sprintf("profile about the line through %s: %s", line.String(), curve.String())
}
