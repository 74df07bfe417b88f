package mesh

import (
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// Pappus and Guldin (P. Guldin, Centrobaryca, 1641; any handbook of mechanics):
// a figure turned about an axis sweeps its area times the way of its centroid,
// its outline sweeps its length times the way of the outline's centroid. For a
// polygon of n steps in place of the circle, the figure's volume is exactly
// less by the share of the n-gon in the circle, sin(2 pi/n) / (2 pi/n), since
// the sum over the sectors is A rbar n sin(2 pi/n).
func TestVolumesOfRevolutionAgreeWithPappusAndGuldin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 400).Draw(t, "n")
		k := rapid.IntRange(3, 40).Draw(t, "k")
		R := rapid.Float64Range(10, 50).Draw(t, "R")
		r := rapid.Float64Range(0.1, 9).Draw(t, "r")
		step := 2 * math.Pi / float64(n)
		section := float64(k) / 2 * r * r * math.Sin(2*math.Pi/float64(k)) // regular k-gon
		want := section * 2 * math.Pi * R * math.Sin(step) / step
		if got := torus(R, r, n, k).Volume(); math.Abs(got-want) > 1e-9*want {
			t.Fatalf("volume %v, want %v", got, want)
		}
	})
}

func TestAreaOfRevolutionAgreesWithGuldin(t *testing.T) {
	const R, r = 20, 4
	want := 4 * math.Pi * math.Pi * R * r // torus: 2 pi r times 2 pi R
	got := torus(R, r, 600, 400).Area()
	near(t, "area", got, want, 1e-4*want)
	frustum := ring([]r2.Vec{{X: 5, Y: 0}, {X: 5, Y: 10}, {X: 9, Y: 10}, {X: 12, Y: 0}}, 4000)
	// Outline: segments of length 10, 4, sqrt(109), 7 with centroids at 5, 7, 10.5, 8.5.
	want = 2 * math.Pi * (10*5 + 4*7 + math.Sqrt(109)*10.5 + 7*8.5)
	near(t, "area of a hollow frustum", frustum.Area(), want, 1e-5*want)
}

func TestVolumeDoesNotDependOnThePlace(t *testing.T) {
	for _, c := range []struct {
		name string
		m    *Mesh
		want float64
	}{
		{"box", box(0, 0, 0, 2, 3, 4), 24},
		{"box far away", box(1e5, 1e5, 1e5, 1e5+2, 1e5+3, 1e5+4), 24},
		{"hollow box", join(box(0, 0, 0, 4, 4, 4), inverted(box(1, 1, 1, 3, 3, 3))), 56},
		{"inside out", inverted(box(0, 0, 0, 2, 3, 4)), -24},
		{"nothing", &Mesh{}, 0},
	} {
		near(t, c.name, c.m.Volume(), c.want, 1e-6)
	}
	near(t, "area", box(0, 0, 0, 2, 3, 4).Area(), 52, 1e-12)
}

func TestBoundsHoldEveryVertex(t *testing.T) {
	if got := (&Mesh{}).Bounds(); got != (r3.Box{}) {
		t.Errorf("empty: %v", got)
	}
	if got, want := box(-1, 2, -3, 4, 5, 6).Bounds(), (r3.Box{Min: r3.Vec{X: -1, Y: 2, Z: -3}, Max: r3.Vec{X: 4, Y: 5, Z: 6}}); got != want {
		t.Errorf("%v, want %v", got, want)
	}
}

func TestTurnGoesAboutXThenYThenZ(t *testing.T) {
	for _, c := range []struct {
		deg  [3]float64
		from r3.Vec
		to   r3.Vec
	}{
		{[3]float64{90, 0, 0}, r3.Vec{Y: 1}, r3.Vec{Z: 1}},
		{[3]float64{0, 90, 0}, r3.Vec{Z: 1}, r3.Vec{X: 1}},
		{[3]float64{0, 0, 90}, r3.Vec{X: 1}, r3.Vec{Y: 1}},
		{[3]float64{90, 90, 0}, r3.Vec{Y: 1}, r3.Vec{X: 1}},
		{[3]float64{90, 90, 90}, r3.Vec{Y: 1}, r3.Vec{Y: 1}},
		{[3]float64{-270, 0, 450}, r3.Vec{X: 1, Y: 2, Z: 3}, r3.Vec{X: 3, Y: 1, Z: 2}},
		{[3]float64{180, 180, 180}, r3.Vec{X: 1, Y: 2, Z: 3}, r3.Vec{X: 1, Y: 2, Z: 3}},
	} {
		got := (&Mesh{Vertices: []r3.Vec{c.from}}).Turn(c.deg).Vertices[0]
		if got != c.to { // right angles are exact
			t.Errorf("%v turned %v: %v, want %v", c.from, c.deg, got, c.to)
		}
	}
}

func TestTurningBackwardsUndoesTurning(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		angle := rapid.Float64Range(-720, 720)
		deg := [3]float64{angle.Draw(t, "x"), angle.Draw(t, "y"), angle.Draw(t, "z")}
		v := r3.Vec{X: 3, Y: -5, Z: 7}
		m := (&Mesh{Vertices: []r3.Vec{v}}).Turn(deg)
		m = m.Turn([3]float64{0, 0, -deg[2]}).Turn([3]float64{0, -deg[1], 0}).Turn([3]float64{-deg[0], 0, 0})
		if d := r3.Norm(r3.Sub(m.Vertices[0], v)); d > 1e-12 {
			t.Fatalf("off by %v", d)
		}
	})
}

func TestSeatPutsTheBoxCentreThereAndTheLowestPointOnTheBed(t *testing.T) {
	m := torus(20, 5, 37, 11).Turn([3]float64{20, 30, 40})
	before := m.Vertices[0]
	b := m.Seat(125, 105).Bounds()
	near(t, "x", (b.Min.X+b.Max.X)/2, 125, 1e-12)
	near(t, "y", (b.Min.Y+b.Max.Y)/2, 105, 1e-12)
	if b.Min.Z != 0 {
		t.Errorf("lowest point at %v", b.Min.Z)
	}
	if m.Vertices[0] != before {
		t.Error("the input was changed")
	}
}

func TestUnitsOfTheJobFile(t *testing.T) {
	for name, want := range map[string]float64{"mm": 1, "cm": 10, "m": 1000, "in": 25.4} {
		if got, ok := UnitSize(name); !ok || got != want {
			t.Errorf("%s: %v", name, got)
		}
	}
	if _, ok := UnitSize("ft"); ok {
		t.Error("ft is no unit of the job file")
	}
}

func ExampleMesh_Seat() {
	m := box(0, 0, -5, 20, 10, 25)
	seated := m.Turn([3]float64{90, 0, 0}).Seat(125, 105)
	b := seated.Bounds()
	fmt.Printf("%.0f mm high, %.0f mm3, from %v\n", b.Max.Z, seated.Volume(), b.Min)
	// Output: 10 mm high, 6000 mm3, from {115 90 0}
}
