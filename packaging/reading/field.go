package reading

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Field is a zone's lift field as run.json holds it.
type Field struct {
	Kind   string       `json:"kind"`
	Grow   string       `json:"grow"`
	Angle  float64      `json:"angle"`
	Axis   [2]float64   `json:"axis"`
	Round  float64      `json:"round"`
	Toward float64      `json:"toward"`
	Line   [][2]float64 `json:"line"`
	Curve  [][2]float64 `json:"curve"`
}

func tan(degrees float64) float64 { return math.Tan(degrees * math.Pi / 180) }

// distance is how far a place is from the field's axis or line, and the
// direction, in plan, in which that distance grows; zero where it has none.
func (f *Field) distance(x, y float64) (r, dx, dy float64) {
	line := f.Line
	if f.Kind == "cone" {
		line = [][2]float64{f.Axis}
	}
	r = math.Inf(1)
	for i := range line {
		a, b := line[i], line[min(i+1, len(line)-1)]
		ux, uy := b[0]-a[0], b[1]-a[1]
		k := 0.0
		if l := ux*ux + uy*uy; l > 0 {
			k = math.Max(0, math.Min(1, ((x-a[0])*ux+(y-a[1])*uy)/l))
		}
		px, py := x-a[0]-k*ux, y-a[1]-k*uy
		if d := math.Hypot(px, py); d < r {
			r, dx, dy = d, px, py
		}
	}
	if r > 0 {
		dx, dy = dx/r, dy/r
	}
	return r, dx, dy
}

// lift is the field as a function of the distance, and its slope.
func (f *Field) lift(r float64) (value, slope float64) {
	if f.Kind == "profile" {
		return f.integral(r)
	}
	s := tan(f.Angle)
	if f.Grow == "inward" {
		s = -s
	}
	root := math.Hypot(r, f.Round)
	if root == 0 {
		return 0, s // the slope just beside the axis
	}
	return s * (root - f.Round), s * r / root
}

// integral adds up the slopes of a profile: linear between knots, the last
// one's beyond.
func (f *Field) integral(r float64) (value, slope float64) {
	for i, knot := range f.Curve {
		s := tan(knot[1])
		if i+1 == len(f.Curve) {
			return value + s*(r-knot[0]), s
		}
		next := f.Curve[i+1]
		e := tan(next[1])
		width := next[0] - knot[0]
		if r <= next[0] {
			slope = s + (e-s)*(r-knot[0])/width
			return value + (s+slope)/2*(r-knot[0]), slope
		}
		value += (s + e) / 2 * width
	}
	return value, 0
}

// At is the lift at a place, by the contract's formulas.
func (f *Field) At(x, y float64) float64 {
	switch f.Kind {
	case "ramp":
		sin, cos := math.Sincos(f.Toward * math.Pi / 180)
		return tan(f.Angle) * (x*cos + y*sin)
	case "cone", "ridge", "profile":
		r, _, _ := f.distance(x, y)
		value, _ := f.lift(r)
		return value
	}
	return 0
}

// Gradient is the lift's gradient, zero where it has none.
func (f *Field) Gradient(x, y float64) (gx, gy float64) {
	switch f.Kind {
	case "ramp":
		sin, cos := math.Sincos(f.Toward * math.Pi / 180)
		return tan(f.Angle) * cos, tan(f.Angle) * sin
	case "cone", "ridge", "profile":
		r, dx, dy := f.distance(x, y)
		_, slope := f.lift(r)
		return slope * dx, slope * dy
	}
	return 0, 0
}

// Normal is the shell's upward unit normal at a place.
func (f *Field) Normal(x, y float64) r3.Vec {
	gx, gy := f.Gradient(x, y)
	return r3.Unit(r3.Vec{X: gx, Y: gy, Z: 1})
}

// Crease is how far a place is from where the gradient vanishes or jumps: the
// axis, the line, or a bisector inside a bend of the line.
func (f *Field) Crease(x, y float64) float64 {
	switch f.Kind {
	case "cone", "ridge", "profile":
		r, dx, dy := f.distance(x, y)
		// A second part of the line that is as near, in another direction.
		second := math.Inf(1)
		for i := 0; i+1 < len(f.Line); i++ {
			one := Field{Kind: "ridge", Line: f.Line[i : i+2]}
			d, ex, ey := one.distance(x, y)
			if apart := math.Hypot(ex-dx, ey-dy); apart > 1e-6 && d >= r {
				// The difference of both distances grows by `apart` for each mm of way.
				second = math.Min(second, (d-r)/apart)
			}
		}
		return math.Min(math.Min(r, second), f.level(r))
	}
	return math.Inf(1)
}

// level is how far a distance from a profile's line is from the one at which the
// shells lie level: there the gradient vanishes, and turns round.
func (f *Field) level(r float64) float64 {
	near := math.Inf(1)
	for i := 1; i < len(f.Curve) && f.Kind == "profile"; i++ {
		a, b := f.Curve[i-1], f.Curve[i]
		if s, e := tan(a[1]), tan(b[1]); s*e <= 0 && s != e {
			near = math.Min(near, math.Abs(a[0]+(b[0]-a[0])*s/(s-e)-r))
		}
	}
	return near
}
