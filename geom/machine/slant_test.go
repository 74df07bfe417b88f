package machine

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r3"
)

// slanting are cards whose linear axes aren't those of the bed.
func slanting() map[string]*Card {
	leaning := &Linear{X: [3]float64{1, 0, 0}, Y: [3]float64{0, 1, 0}, Z: [3]float64{-0.6, 0, 0.8}}
	odd := &Linear{X: [3]float64{0.6, 0.8, 0}, Y: [3]float64{0, 0.28, 0.96}, Z: [3]float64{-0.48, -0.6, 0.64}}
	belt := Travel{X: Endless(), Y: Limits{0, 200}, Z: Limits{0, 250}}
	box := Travel{X: Limits{0, 250}, Y: Limits{0, 200}, Z: Limits{0, 250}}
	return map[string]*Card{
		"belt":         {Linear: leaning, Travel: belt, Head: Head{Tilt: 45, Tip: [3]float64{3, -2, -40}}},
		"odd":          {Linear: odd, Travel: box, Head: Head{Tip: [3]float64{1, 2, -30}}},
		"with swivel":  {Linear: odd, Travel: box, Swivel: &Swivel{Letter: "C", Sense: -1, Zero: 30, TipOffset: [3]float64{2, 1, 0}}, Head: Head{Tilt: 45}},
		"turning head": {Linear: leaning, Travel: belt, Rotary: []Rotary{{Letter: "C", On: OnHead, About: [3]float64{0, 0, 1}, At: [3]float64{4, 5, 0}, Sense: 1}}, Head: Head{Tilt: 30, Tip: [3]float64{9, 5, -20}}},
	}
}

// The reference point is at W = X x_dir + Y y_dir + Z z_dir (CONTRACT, "linear");
// words and poses of such cards are those of the general kinematics.
func TestSlantingAxesReachTheTip(t *testing.T) {
	for name, c := range slanting() {
		k := NewKinematics(c)
		for _, w := range []Words{{}, {X: 10, Y: 20, Z: 30}, {X: -7, Y: 120, Z: 11, Turn: Turn{-77}}, {X: 400, Y: 1, Z: 2, Turn: Turn{123}}} {
			if !c.Swivels() {
				w.Turn = Turn{}
			}
			p := c.Pose(w)
			if off := r3.Norm(r3.Sub(p.Tip, k.Tip(w))); off > 1e-9 {
				t.Errorf("%s, %v: the tip is %g mm off", name, w, off)
			}
			if off := r3.Norm(r3.Sub(c.Axis(p), k.Axis(w.Turn))); off > 1e-9 {
				t.Errorf("%s, %v: the nozzle stands %g off", name, w, off)
			}
			back := c.Words(p)
			if d := math.Abs(back.X-w.X) + math.Abs(back.Y-w.Y) + math.Abs(back.Z-w.Z) + math.Abs(back.Turn[0]-w.Turn[0]); d > 1e-9 {
				t.Errorf("%s: words %v come back as %v", name, w, back)
			}
		}
		up := c.Climb(7)
		a, b := k.Tip(Words{X: 5, Y: 6, Z: 7}), k.Tip(Words{X: 5 + up[0], Y: 6 + up[1], Z: 7 + up[2]})
		if off := r3.Norm(r3.Sub(r3.Sub(b, a), r3.Vec{Z: 7})); off > 1e-9 {
			t.Errorf("%s: climbs %g mm beside the upright", name, off)
		}
	}
}

func TestSlantingTravelHoldsEveryTip(t *testing.T) {
	for name, c := range slanting() {
		k, travel := NewKinematics(c), c.PartTravel()
		if travel.X.Endless() != c.Endless() {
			t.Errorf("%s: travels %v in x", name, travel.X)
		}
		for i := range 8 {
			w := Words{X: c.Travel.X[i&1], Y: c.Travel.Y[i>>1&1], Z: c.Travel.Z[i>>2&1]}
			if math.IsInf(w.X, 0) {
				w.X = 1e3
			}
			if c.Swivels() {
				continue // their tips aren't counted: see PartTravel
			}
			p := k.Tip(w)
			for a, l := range []Limits{travel.X, travel.Y, travel.Z} {
				if v := [3]float64{p.X, p.Y, p.Z}[a]; v < l[0]-1e-9 || v > l[1]+1e-9 {
					t.Errorf("%s: tip %v lies beyond %v", name, p, travel)
				}
			}
		}
	}
}

func TestAnEndlessAxisLiesLevel(t *testing.T) {
	const rest = `"conewright_machine": 1, "travel": {"x": [0, 100], "y": [0, 100], "z": null}`
	for text, sound := range map[string]bool{
		`{` + rest + `}`: false,
		`{` + rest + `, "linear": {"x": [0, 1, 0], "y": [-0.6, 0, 0.8], "z": [1, 0, 0]}}`: true,
		`{` + rest + `, "linear": {"x": [0, 1, 0], "y": [0, 0, 1], "z": [0.6, 0, 0.8]}}`:  false,
	} {
		if _, err := Parse([]byte(text)); (err == nil) != sound {
			t.Errorf("%s: %v", text, err)
		}
	}
}

// A belt lays its shells in the plane of the two axes that end.
func TestABeltHasARamp(t *testing.T) {
	for _, degrees := range []float64{45, 35, 60} {
		sin, cos := math.Sincos(degrees * math.Pi / 180)
		for toward := range 4 {
			ts, tc := math.Sincos(float64(toward))
			c := &Card{
				Travel: Travel{X: Limits{0, 200}, Y: Limits{0, 250}, Z: Endless()}, Head: Head{Tilt: degrees},
				Linear: &Linear{X: [3]float64{-ts, tc, 0}, Y: [3]float64{-cos * tc, -cos * ts, sin}, Z: [3]float64{-tc, -ts, 0}},
			}
			angle, azimuth, ok := c.Ramp()
			if !ok || math.Abs(angle*180/math.Pi-degrees) > 1e-9 || math.Abs(math.Remainder(azimuth-float64(toward), 2*math.Pi)) > 1e-9 {
				t.Errorf("a gantry of %g degrees: ramp %g toward %g, %v", degrees, angle*180/math.Pi, azimuth, ok)
			}
		}
	}
}
