package job

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Bounds of a field about a line (CONTRACT, "FIELD").
const (
	mostLinePoints = 32
	mostKnots      = 64
	mostKnotAngle  = 80.0 // degrees
	mostFieldPlace = 1e4  // mm, of a coordinate or a distance
)

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
