package reading

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

func read(t *testing.T, m *Machine, text string) *Path {
	t.Helper()
	file := filepath.Join(t.TempDir(), "a.gcode")
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	p, err := ReadPath(file, m)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// NISTIR 6556: 3.5.18 (at X4, G92 X7 gives the offset -3, then G92 X9 gives -5;
// G91 has no effect on it), 3.8 (units before motion), 2.1.2.9 (degrees don't
// scale).
func TestModalState(t *testing.T) {
	c := &Machine{Rotary: []Turning{{Letter: "C", On: "bed", About: [3]float64{0, 0, 1}, Sense: 1}}}
	for _, k := range []struct {
		name, text string
		x, turn    float64
	}{
		{"absolute", "G21 G90\nG1 X3\nG1 X4", 4, 0},
		{"an offset", "G1 X4\nG92 X7\nG1 X10", 7, 0},
		{"a second offset", "G1 X4\nG92 X7\nG92 X9\nG1 X10", 5, 0},
		{"relative", "G1 X4\nG91\nG1 X2\nG1 X2", 8, 0},
		{"relative with an offset", "G1 X4\nG92 X7\nG91\nG1 X2", 6, 0},
		{"inches before motion", "G1 X10 G20", 254, 0},
		{"degrees don't scale", "G20\nG1 X1 C90", 25.4, 90},
		{"an offset of a turning axis", "G1 X0 C720\nG92 C0\nG1 C10", 0, 730},
	} {
		p := read(t, c, k.text)
		last := p.Steps[len(p.Steps)-1].To
		if math.Abs(last.XYZ[0]-k.x) > 1e-9 || math.Abs(last.Turn[0]-k.turn) > 1e-9 {
			t.Errorf("%s: at X%g C%g, want X%g C%g", k.name, last.XYZ[0], last.Turn[0], k.x, k.turn)
		}
	}
}

// Poses worked out by hand from the contract's words on rotary axes.
func TestPosesByHand(t *testing.T) {
	tilted := func(m Machine) *Machine { m.Head.Tilt = 45; return &m }
	half := math.Sqrt(0.5)
	swivel := Machine{}
	swivel.Rotary = []Turning{{Letter: "C", On: "head", About: [3]float64{0, 0, 1}, Sense: 1}}
	swivel.Head.Tip = [3]float64{2, 0, -10}
	bed := Machine{Rotary: []Turning{{Letter: "C", On: "bed", About: [3]float64{0, 0, 1}, At: [3]float64{100, 100, 0}, Sense: 1}}}
	rocker := Machine{Rotary: []Turning{{Letter: "A", On: "bed", About: [3]float64{1, 0, 0}, At: [3]float64{0, 100, 40}, Sense: -1, Zero: 10}}}
	belt := Machine{Linear: &struct {
		X [3]float64 `json:"x"`
		Y [3]float64 `json:"y"`
		Z [3]float64 `json:"z"`
	}{[3]float64{1, 0, 0}, [3]float64{0, 1, 0}, [3]float64{half, 0, half}}}
	for _, k := range []struct {
		name      string
		machine   *Machine
		words     Words
		tip, back r3.Vec
	}{
		{"a head turned by 90", tilted(swivel), Words{XYZ: [3]float64{50, 60, 30}, Turn: [2]float64{90}}, r3.Vec{X: 50, Y: 62, Z: 20}, r3.Vec{Y: half, Z: half}},
		{"a bed turned by 90", tilted(bed), Words{XYZ: [3]float64{110, 100, 5}, Turn: [2]float64{90}}, r3.Vec{X: 100, Y: 90, Z: 5}, r3.Vec{Y: -half, Z: half}},
		// sense x (word - zero) = 90: the machine's z is the part's y.
		{"a bed that tips", &rocker, Words{XYZ: [3]float64{7, 100, 60}, Turn: [2]float64{-80}}, r3.Vec{X: 7, Y: 120, Z: 40}, r3.Vec{Y: 1}},
		{"a slanting axis", &belt, Words{XYZ: [3]float64{1, 2, 10}}, r3.Vec{X: 1 + 10*half, Y: 2, Z: 10 * half}, r3.Vec{Z: 1}},
	} {
		kin, err := k.machine.Kinematics()
		if err != nil {
			t.Fatal(err)
		}
		p := kin.Pose(k.words)
		if r3.Norm(r3.Sub(p.Tip, k.tip)) > 1e-9 || r3.Norm(r3.Sub(p.Back, k.back)) > 1e-9 {
			t.Errorf("%s: %v, want %v %v", k.name, p, k.tip, k.back)
		}
	}
}

// A field's gradient is that of its lift, and a ridge about one point is a cone.
func TestFieldsByDifferences(t *testing.T) {
	cone := Field{Kind: "cone", Grow: "outward", Angle: 40, Axis: [2]float64{3, 4}, Round: 2}
	ridge := Field{Kind: "ridge", Grow: "outward", Angle: 40, Line: [][2]float64{{3, 4}}, Round: 2}
	for _, f := range []Field{
		cone, ridge, {Kind: "ramp", Angle: 30, Toward: 50}, {Kind: "cone", Grow: "inward", Angle: 30},
		{Kind: "ridge", Grow: "inward", Angle: 30, Line: [][2]float64{{0, 0}, {9, 0}, {9, 8}}},
		{Kind: "profile", Line: [][2]float64{{0, 0}, {9, 3}}, Curve: [][2]float64{{0, 0}, {5, 45}, {30, -20}}},
	} {
		for _, p := range [][2]float64{{1, 9}, {-7, 2}, {12, -3}, {40, 40}} {
			const d = 1e-5
			gx, gy := f.Gradient(p[0], p[1])
			nx, ny := (f.At(p[0]+d, p[1])-f.At(p[0]-d, p[1]))/2/d, (f.At(p[0], p[1]+d)-f.At(p[0], p[1]-d))/2/d
			if math.Hypot(gx-nx, gy-ny) > 1e-5 {
				t.Errorf("%s at %v: gradient %g %g, by differences %g %g", f.Kind, p, gx, gy, nx, ny)
			}
		}
	}
	if a, b := cone.At(10, 20), ridge.At(10, 20); a != b {
		t.Errorf("a cone lifts %g, the ridge about its point %g", a, b)
	}
}
