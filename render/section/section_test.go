package section_test

import (
	"math"
	"testing"

	"conewright/geom/field"
	"conewright/geom/form"
	"conewright/render/internal/shape"
	"conewright/render/section"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

const degree = math.Pi / 180

var center = r2.Vec{X: 125, Y: 105}

// area of a face by the shoelace formula, without sign.
func area(f section.Face) (sum float64) {
	for _, loop := range f.Loops {
		for i, p := range loop {
			sum += r2.Cross(p, loop[(i+1)%len(loop)]) / 2
		}
	}
	return math.Abs(sum)
}

func TestFaceThroughTheAxisIsTheProfile(t *testing.T) {
	// twice the profile's half: 18 x 3, trapezoids 18..11 x 7, 11..10.5 x 4, 10.5 x 19, 27 x 6, 27..23 x 4, 23..0 x 2
	want := 2 * (18*3 + 14.5*7 + 10.75*4 + 10.5*19 + 27*6 + 25*4 + 11.5*2)
	if got := area(section.At(shape.Bollard(center, 72), center.Y)); math.Abs(got-want) > 1e-6 {
		t.Errorf("%v mm2, want %v", got, want)
	}
}

func TestShellsOfAConeThroughItsAxisAreChevrons(t *testing.T) {
	face := section.At(form.Box(r3.Vec{X: 100, Y: 80}, r3.Vec{X: 150, Y: 130, Z: 40}), center.Y)
	f := field.NewCone(30*degree, false, center, 0)
	lines := section.Shells(face, f, []float64{20, 30}, 0.01)
	if len(lines) != 2 {
		t.Fatalf("%d lines", len(lines))
	}
	for i, line := range lines {
		if len(line) != 3 || line[1] != (r2.Vec{X: 125, Y: []float64{20, 30}[i]}) {
			t.Errorf("not a chevron with its tip on the axis: %v", line)
		}
	}
}

// TestShellsLieInTheFaceAndOnTheirShell checks points of all lines against the
// field itself and the face's own rule of inside.
func TestShellsLieInTheFaceAndOnTheirShell(t *testing.T) {
	m := shape.Bollard(center, 40)
	rapid.Check(t, func(r *rapid.T) {
		f := field.NewCone(rapid.Float64Range(5, 60).Draw(r, "angle")*degree, rapid.Bool().Draw(r, "inward"),
			r2.Vec{X: rapid.Float64Range(100, 150).Draw(r, "x"), Y: rapid.Float64Range(90, 120).Draw(r, "y")},
			rapid.Float64Range(0, 3).Draw(r, "round"))
		if rapid.Bool().Draw(r, "ramp") {
			f = field.NewRamp(f.Angle(), rapid.Float64Range(100, 150).Draw(r, "toward"))
		}
		face := section.At(m, 103.2)
		inside := face.Inside()
		var levels []float64
		low, high := section.Levels(face, f)
		for c := low + 0.7; c < high; c += 3 {
			levels = append(levels, c)
		}
		const tol = 0.01
		for _, line := range section.Shells(face, f, levels, tol) {
			for i := 1; i < len(line); i++ {
				mid := r2.Scale(0.5, r2.Add(line[i-1], line[i]))
				c := mid.Y + f.At(r2.Vec{X: mid.X, Y: 103.2})
				off := math.Inf(1)
				for _, level := range levels {
					off = math.Min(off, math.Abs(level-c))
				}
				if off > 1.01*tol {
					r.Fatalf("a chord strays %v mm from its shell", off)
				}
				if !nearInside(inside, mid) {
					r.Fatalf("%v lies outside the face", mid)
				}
			}
		}
	})
}

func nearInside(inside func(x, z float64) bool, p r2.Vec) bool {
	const near = 0.03
	for _, d := range []r2.Vec{{}, {X: near}, {X: -near}, {Y: near}, {Y: -near}} {
		if inside(p.X+d.X, p.Y+d.Y) {
			return true
		}
	}
	return false
}

func TestInsideOfAFaceWithAHole(t *testing.T) {
	tube := shape.Revolve(center, 36, [2]float64{6, 0}, [2]float64{10, 0}, [2]float64{10, 20}, [2]float64{6, 20})
	inside := section.At(tube, center.Y).Inside()
	for _, tt := range []struct {
		x, z float64
		want bool
	}{{125, 10, false}, {133, 10, true}, {117, 10, true}, {136, 10, false}, {133, 21, false}, {133, -1, false}} {
		if inside(tt.x, tt.z) != tt.want {
			t.Errorf("(%v, %v): inside is %v", tt.x, tt.z, !tt.want)
		}
	}
}
