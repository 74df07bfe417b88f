package job

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"

	"conewright/geom/field"

	"gonum.org/v1/gonum/spatial/r2"
)

// Field is a lift field as in the job file.
type Field struct {
	Kind   string       `json:"kind"`             // level | cone | ramp | ridge | profile
	Grow   string       `json:"grow,omitempty"`   // cone, ridge: outward | inward
	Angle  float64      `json:"angle,omitempty"`  // degrees
	Axis   *[2]float64  `json:"axis,omitempty"`   // cone
	Round  float64      `json:"round,omitempty"`  // cone, ridge
	Toward float64      `json:"toward,omitempty"` // ramp: azimuth of the gradient
	Line   [][2]float64 `json:"line,omitempty"`   // ridge, profile: points in plan
	Curve  [][2]float64 `json:"curve,omitempty"`  // profile: distance from the line, angle of the shells there
}

// Kinds of field and directions of growth in a job file.
const (
	KindLevel   = "level"
	KindCone    = "cone"
	KindRamp    = "ramp"
	KindRidge   = "ridge"
	KindProfile = "profile"
	GrowOutward = "outward"
	GrowInward  = "inward"
)

// entries lists the entries of a job file that each kind of field has.
var entries = map[string][]string{
	KindLevel:   nil,
	KindCone:    {"angle", "grow", "axis", "round"},
	KindRamp:    {"angle", "toward"},
	KindRidge:   {"angle", "grow", "round", "line"},
	KindProfile: {"line", "curve"},
}

// Has reports whether fields of this kind have an entry of the job file: angle,
// grow, axis, round, toward, line or curve.
func (f *Field) Has(entry string) bool { return slices.Contains(entries[f.Kind], entry) }

// Level reports whether the field's shells are level.
func (f *Field) Level() bool {
	lift := f.Lift()
	return lift.Level()
}

// Clone returns a field that shares nothing with f.
func (f *Field) Clone() *Field {
	c := *f
	if f.Axis != nil {
		axis := *f.Axis
		c.Axis = &axis
	}
	c.Line, c.Curve = slices.Clone(f.Line), slices.Clone(f.Curve)
	return &c
}

// fill puts in what the job file may leave out: a field grows outward, about the
// place where the part is seated.
func (f *Field) fill(seat [2]float64) {
	if f.Grow == "" && f.Has("grow") {
		f.Grow = GrowOutward
	}
	if f.Axis == nil && f.Has("axis") {
		f.Axis = &seat
	}
	if f.Line == nil && f.Has("line") {
		f.Line = [][2]float64{seat}
	}
}

// Lift returns the field for computing.
func (f *Field) Lift() field.Field {
	angle := f.Angle * math.Pi / 180
	switch f.Kind {
	case KindCone:
		var axis r2.Vec
		if f.Axis != nil {
			axis = r2.Vec{X: f.Axis[0], Y: f.Axis[1]}
		}
		return field.NewCone(angle, f.Grow == GrowInward, axis, f.Round)
	case KindRamp:
		return field.NewRamp(angle, f.Toward*math.Pi/180)
	case KindRidge:
		return field.NewRidge(angle, f.Grow == GrowInward, f.line(), f.Round)
	case KindProfile:
		distances, angles := f.knots()
		return field.NewProfile(f.line(), distances, angles)
	}
	return field.Field{}
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

func (s *Setup) checkField(f *Field, at string) error {
	switch f.Kind {
	case KindLevel:
		if s.Bead <= s.Shell {
			return wrong("bead", "use a wider bead or a thinner shell", "%g mm isn't wider than the shell's %g mm", s.Bead, s.Shell)
		}
		return nil
	case KindCone:
		if f.Grow != GrowOutward && f.Grow != GrowInward {
			return wrong(at+".grow", "use outward or inward", "%q isn't known", f.Grow)
		}
		if !(math.Abs(f.Axis[0]) <= 1e4 && math.Abs(f.Axis[1]) <= 1e4) {
			return wrong(at+".axis", "put the axis near the part", "[%g, %g] is out of bounds", f.Axis[0], f.Axis[1])
		}
		if !(f.Round >= 0 && f.Round <= 1000) {
			return wrong(at+".round", "give 0 to 1000", "%g mm is out of bounds", f.Round)
		}
	case KindRidge:
		if f.Grow != GrowOutward && f.Grow != GrowInward {
			return wrong(at+".grow", "use outward or inward", "%q isn't known", f.Grow)
		}
		if err := f.checkLine(at); err != nil {
			return err
		}
		if !(f.Round >= 0 && f.Round <= 1000) {
			return wrong(at+".round", "give 0 to 1000", "%g mm is out of bounds", f.Round)
		}
	case KindProfile:
		if err := f.checkLine(at); err != nil {
			return err
		}
		if err := f.checkCurve(at); err != nil {
			return err
		}
		if n := s.Numbers(f); n.LineWidth < n.LayerHeight {
			return wrong(at+".curve", "use smaller angles, a wider bead or a thinner shell",
				"at %g degrees a line would be %.3f mm wide and %.3f mm high", f.Steepest(), n.LineWidth, n.LayerHeight)
		}
		return nil
	case KindRamp:
		if !(math.Abs(f.Toward) <= 3600) {
			return wrong(at+".toward", "give an azimuth in degrees", "%g is out of bounds", f.Toward)
		}
	default:
		return wrong(at+".kind", "use level, cone, ramp, ridge or profile", "%q isn't a kind of field that is known here", f.Kind)
	}
	if !(f.Angle > 0 && f.Angle < 90) {
		return wrong(at+".angle", "give more than 0 and less than 90 degrees, or use a level field", "%g degrees can't be printed", f.Angle)
	}
	if n := s.Numbers(f); n.LineWidth < n.LayerHeight {
		return wrong(at+".angle", "use a smaller angle, a wider bead or a thinner shell",
			"at %g degrees a line would be %.3f mm wide and %.3f mm high", f.Angle, n.LineWidth, n.LayerHeight)
	}
	return nil
}

// MarshalJSON writes the numbers that the kind of field has, all of them.
func (f *Field) MarshalJSON() ([]byte, error) {
	switch f.Kind {
	case KindCone:
		var axis [2]float64
		if f.Axis != nil {
			axis = *f.Axis
		}
		return json.Marshal(struct {
			Kind  string     `json:"kind"`
			Grow  string     `json:"grow"`
			Angle float64    `json:"angle"`
			Axis  [2]float64 `json:"axis"`
			Round float64    `json:"round"`
		}{f.Kind, f.Grow, f.Angle, axis, f.Round})
	case KindRamp:
		return json.Marshal(struct {
			Kind   string  `json:"kind"`
			Angle  float64 `json:"angle"`
			Toward float64 `json:"toward"`
		}{f.Kind, f.Angle, f.Toward})
	case KindRidge, KindProfile:
		return f.marshalAboutLine()
	}
	return json.Marshal(struct {
		Kind string `json:"kind"`
	}{f.Kind})
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

func describeField(f *Field) string {
	switch f.Kind {
	case KindCone:
		return fmt.Sprintf("cone, %s, %g°, axis at %g, %g, round %g mm", f.Grow, f.Angle, f.Axis[0], f.Axis[1], f.Round)
	case KindRamp:
		return fmt.Sprintf("ramp, %g° toward %g°", f.Angle, f.Toward)
	case KindRidge, KindProfile:
		return f.describeAboutLine()
	}
	return "level"
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
