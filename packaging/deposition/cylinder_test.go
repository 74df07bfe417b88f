package deposition

import (
	"fmt"
	"math"
	"math/rand"
	"testing"

	"conewright/packaging/madeparts"

	"gonum.org/v1/gonum/spatial/r3"
)

// An upright cylinder of full fill: its beads reach the wall and the bed, and
// hold the part's volume.
func TestCylinderIsFilled(t *testing.T) {
	if testing.Short() {
		t.Skip("runs jobs")
	}
	const radius, height = 10.0, 12.0
	mesh := madeparts.Revolve([2]float64{0, 0}, [2]float64{radius, 0}, [2]float64{radius, height}, [2]float64{0, height})
	for _, c := range []struct{ name, card, field string }{
		{"outward cone", "swivel-45", `{"kind": "cone", "grow": "outward", "angle": 45, "axis": [125, 105]}`},
		{"inward cone", "swivel-45", `{"kind": "cone", "grow": "inward", "angle": 45, "axis": [125, 105]}`},
		{"ramp", "swivel-45", `{"kind": "ramp", "angle": 45, "toward": 30}`},
		{"level", "straight", `{"kind": "level"}`},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			dir := t.TempDir()
			r := lay(t, dir, job(t, dir, mesh, c.card, c.field, `"fill": 1`))
			random := rand.New(rand.NewSource(1))
			const samples = 2000
			const sectors = 4
			var side [sectors]float64
			void, bottom := 0.0, 0.0
			for i := range samples {
				azimuth := 2 * math.Pi * (float64(i%sectors) + random.Float64()) / sectors
				sin, cos := math.Sincos(azimuth)
				out := r3.Vec{X: cos, Y: sin}
				axis := r3.Vec{X: 125, Y: 105}
				const before = 0.5
				from := r3.Add(axis, r3.Scale(radius+before, out))
				from.Z = 0.5 + (height-1)*random.Float64()
				side[i%sectors] += (r.First(from, r3.Scale(-1, out), 2) - before) / (samples / sectors)
				foot := r3.Add(axis, r3.Scale((radius-0.3)*math.Sqrt(random.Float64()), out))
				void += r.First(foot, r3.Vec{Z: 1}, 2)
				foot.Z = 0.1 * random.Float64()
				if r.Filled(foot) {
					bottom++
				}
			}
			void, bottom = void/samples, bottom/samples
			wall, worst := 0.0, 0.0
			for _, gap := range side {
				wall += gap / sectors
				worst = math.Max(worst, math.Abs(gap))
			}
			volume := r.PartVolume / mesh.Volume()
			t.Logf("wall %.3f inside (a quarter of it %.3f), void %.3f, bottom filled to %.2f, volume %.3f of the part's; %v", wall, worst, void, bottom, volume, &r.Result)
			// A quarter may be off by more: rings end within a bead of the wall.
			const mostWall, mostQuarter, mostVoid, leastBottom, mostVolume = 0.045, 0.06, 0.04, 0.85, 0.02
			if math.Abs(wall) > mostWall || worst > mostQuarter || void > mostVoid || math.Abs(volume-1) > mostVolume {
				t.Error("wall, void or volume is off")
			}
			if r.TravelDug > mostTravelDug { // an inward cone's rings end at its axis
				t.Errorf("%.0f mm of travels dig, deepest %v", r.TravelDug, r.DeepestMove)
			}
			if bottom < leastBottom {
				t.Error("the lowest tenth of a millimetre isn't filled enough")
			}
		})
	}
}

// A zone that stands on an earlier one reaches its cap as it would the bed.
func TestCylinderIsFilledOverACut(t *testing.T) {
	if testing.Short() {
		t.Skip("runs jobs")
	}
	const radius, height, cut = 10.0, 12.0, 6.0
	mesh := madeparts.Revolve([2]float64{0, 0}, [2]float64{radius, 0}, [2]float64{radius, height}, [2]float64{0, height})
	const outward, inward = `{"kind": "cone", "grow": "outward", "angle": 45, "axis": [125, 105]}`, `{"kind": "cone", "grow": "inward", "angle": 45, "axis": [125, 105]}`
	for _, c := range []struct{ name, under, over string }{
		{"outward on outward", outward, outward},
		{"outward on inward", inward, outward},
		{"inward on outward", outward, inward},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			dir := t.TempDir()
			zones := fmt.Sprintf(`{"cut": {"point": [125, 105, %v], "normal": [0, 0, 1]}, "under": {"name": "a", "field": %s}, "over": {"name": "b", "field": %s}}`, cut, c.under, c.over)
			r := lay(t, dir, zonedJob(t, dir, mesh, "swivel-45", zones, `"fill": 1`))
			random := rand.New(rand.NewSource(1))
			const samples, thick = 4000, 0.1
			filled := 0.0
			for range samples {
				azimuth := 2 * math.Pi * random.Float64()
				off := (radius - 0.3) * math.Sqrt(random.Float64())
				if r.Filled(r3.Vec{X: 125 + off*math.Cos(azimuth), Y: 105 + off*math.Sin(azimuth), Z: cut + thick*random.Float64()}) {
					filled++
				}
			}
			filled /= samples
			volume := r.PartVolume / mesh.Volume()
			t.Logf("over the cut filled to %.2f, volume %.3f of the part's; %v", filled, volume, &r.Result)
			const least, mostVolume = 0.85, 0.02
			if filled < least || math.Abs(volume-1) > mostVolume {
				t.Error("the lowest tenth of a millimetre over the cut isn't filled enough, or the volume is off")
			}
		})
	}
}
