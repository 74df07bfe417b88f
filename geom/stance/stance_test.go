package stance

import (
	"math"
	"math/rand/v2"
	"testing"

	"conewright/geom/form"
	"conewright/geom/mesh"

	"gonum.org/v1/gonum/spatial/r3"
)

func box(t *testing.T, x, y, z float64) *mesh.Mesh {
	t.Helper()
	return form.Box(r3.Vec{}, r3.Vec{X: x, Y: y, Z: z})
}

func TestABoxStandsOnSixSidesTheLargestFirst(t *testing.T) {
	faces := Faces(box(t, 10, 20, 30))
	if len(faces) != 6 {
		t.Fatalf("%d faces: %+v", len(faces), faces)
	}
	if faces[0].Contact != 600 || math.Abs(faces[0].Normal.X) < 0.999 || math.Abs(faces[0].Margin-10) > 1e-9 {
		t.Errorf("first face %+v, want that of 20 by 30", faces[0])
	}
	if faces[5].Contact != 200 {
		t.Errorf("last face %+v", faces[5])
	}
}

func TestATallThinPlateDoesNotStandOnItsEdge(t *testing.T) {
	for _, f := range Faces(box(t, 100, 100, 2)) {
		if math.Abs(f.Normal.Z) < 0.9 {
			t.Errorf("stands on an edge: %+v", f)
		}
	}
}

// Turned by what LayDown says, the side's normal points down, and the turn of a box
// seats it with the lowest side flat.
func TestLayDownLaysTheSideDown(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	for range 2000 {
		turn := [3]float64{rng.Float64()*360 - 180, rng.Float64()*360 - 180, rng.Float64()*360 - 180}
		if rng.IntN(3) == 0 {
			turn = [3]float64{float64(rng.IntN(4)) * 90, float64(rng.IntN(4)) * 90, 0}
		}
		file := r3.Unit(r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
		if rng.IntN(3) == 0 {
			file = [3]r3.Vec{{X: 1}, {Y: -1}, {Z: 1}}[rng.IntN(3)]
		}
		got := turned(file, LayDown(turn, turned(file, turn)))
		if r3.Norm(r3.Sub(got, r3.Vec{Z: -1})) > 1e-6 {
			t.Fatalf("turn %v, side %v ends at %v", turn, file, got)
		}
	}
}

func TestLayDownKeepsAPartThatLiesDown(t *testing.T) {
	if got := LayDown([3]float64{90, 0, 0}, r3.Vec{Z: -1}); got != [3]float64{90, 0, 0} {
		t.Errorf("turn %v", got)
	}
}
