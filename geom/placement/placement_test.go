package placement_test

import (
	"math"
	"testing"

	"conewright/geom/field"
	"conewright/geom/placement"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

func nozzle(tilt, azimuth float64) r3.Vec {
	st, ct := math.Sincos(tilt)
	sin, cos := math.Sincos(azimuth)
	return r3.Vec{X: st * cos, Y: st * sin, Z: ct}
}

// CONTRACT, placement: a straight nozzle stands right above the middle, half a
// layer up; a square one half a shell's thickness along the normal.
func TestStraightAndSquareNozzlesStandWhereTheContractSays(t *testing.T) {
	f := field.NewCone(math.Pi/4, false, r2.Vec{X: 100, Y: 100}, 0)
	h := 0.2 * math.Sqrt2
	m := r3.Vec{X: 110, Y: 100, Z: 5}
	if got, want := placement.Tip(&f, h, m, r3.Vec{Z: 1}), (r3.Vec{X: 110, Y: 100, Z: 5 + h/2}); r3.Norm(r3.Sub(got, want)) > 1e-12 {
		t.Errorf("straight: %v, want %v", got, want)
	}
	side := 0.1 * math.Sqrt2 / 2
	want := r3.Vec{X: 110 + side, Y: 100, Z: 5 + side}
	if got := placement.Tip(&f, h, m, nozzle(math.Pi/4, 0)); r3.Norm(r3.Sub(got, want)) > 1e-12 {
		t.Errorf("square: %v, want %v", got, want)
	}
}

func TestMiddleIsTipBackwards(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		angle := rapid.Float64Range(0, 60).Draw(t, "angle") * math.Pi / 180
		axis := r2.Vec{X: 100, Y: 100}
		f := rapid.SampledFrom([]field.Field{
			{}, field.NewRamp(angle, 1), field.NewCone(angle, false, axis, 0), field.NewCone(angle, true, axis, 0),
			field.NewCone(angle, false, axis, 2), field.NewCone(angle, true, axis, 2),
		}).Draw(t, "field")
		h := rapid.Float64Range(0.05, 0.6).Draw(t, "h")
		sin, cos := math.Sincos(rapid.Float64Range(-4, 4).Draw(t, "polar"))
		r := rapid.Float64Range(1, 40).Draw(t, "radius")
		m := r3.Vec{X: 100 + r*cos, Y: 100 + r*sin, Z: 3}
		azimuth, _ := f.Azimuth(r2.Vec{X: m.X, Y: m.Y})
		azimuth += rapid.Float64Range(-0.5, 0.5).Draw(t, "off")
		d := nozzle(rapid.Float64Range(0, 50).Draw(t, "tilt")*math.Pi/180, azimuth)
		tip := placement.Tip(&f, h, m, d)
		if back := placement.Middle(&f, h, tip, d); r3.Norm(r3.Sub(back, m)) > 1e-6 {
			t.Errorf("tip %v leads back to %v, not to %v", tip, back, m)
		}
		// The tip stands on the shell's upper face, half a thickness over the middle.
		n := f.Normal(r2.Vec{X: m.X, Y: m.Y})
		if up := r3.Dot(r3.Sub(tip, m), n); math.Abs(up-h*n.Z/2) > 1e-9 {
			t.Errorf("the tip stands %g over the shell's middle, want %g", up, h*n.Z/2)
		}
	})
}
