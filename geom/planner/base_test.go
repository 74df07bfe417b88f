package planner

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// slopingShells is a ramp of 45 degrees, the lift of which grows with x, on the
// bed at z = 0.
func slopingShells() Options {
	o := Options{LayerHeight: 0.2 * math.Sqrt2, BeadArea: 0.0814, Filament: 1.75, Walls: 2, Speed: 40, TravelSpeed: 100,
		Lift: eastward{}, Tilt: math.Pi / 4, Rim: 0.3,
		Height: func(p r2.Vec, z float64) float64 { return z - p.X }}
	o, err := o.filled()
	if err != nil {
		panic(err)
	}
	return o
}

type eastward struct{}

func (eastward) At(p r2.Vec) float64        { return p.X }
func (eastward) Grad(r2.Vec) (r2.Vec, bool) { return r2.Vec{X: 1}, true }

func TestWallsAlongTheBaseComeAsLowAsTheRimAllows(t *testing.T) {
	o := slopingShells()
	const layer = 40
	z := o.middle(layer)
	// The shell meets the bed at x = z; the other sides are walls.
	islands, err := planLayer(layer, Region{{{X: 0, Y: 0}, {X: z, Y: 0}, {X: z, Y: 8}, {X: 0, Y: 8}}}, cover{}, &o)
	if err != nil {
		t.Fatal(err)
	}
	least, wide := math.Inf(1), 0.0
	low, high := math.Inf(1), math.Inf(-1)
	for _, b := range islands[0].walls[0] {
		for k, p := range b.Path {
			least = math.Min(least, o.Height(p, z))
			low, high = math.Min(low, p.Y), math.Max(high, p.Y)
			if w := b.Width[k] / o.Pitch; p.X < z-0.3 && math.Abs(w-1) > 1e-9 {
				t.Errorf("a wall off the base is %.3f as wide", w)
			} else {
				wide = math.Max(wide, w)
			}
		}
	}
	// The tip of a square nozzle stands half a shell along the normal over the
	// middle: 0.1 cos 45. Its rim, 0.3 sin 45 below, touches the bed.
	if want := (0.3 - 0.1) * math.Sqrt2 / 2; math.Abs(least-want) > 1e-3 {
		t.Errorf("the lowest bead lies %.4f over the bed, want %.4f", least, want)
	}
	if half := o.LineWidth / 2; math.Abs(low-half) > 1e-3 || math.Abs(high-8+half) > 1e-3 {
		t.Errorf("walls off the base lie %.4f and %.4f inside, want %.4f", low, 8-high, half)
	}
	if wide < 1.05 || wide > 1.1+1e-9 {
		t.Errorf("the bead on the base is %.3f as wide", wide)
	}
}

func TestLevelShellsHaveNoEdgeOnTheBase(t *testing.T) {
	o := slopingShells()
	o.Lift, o.Tilt = level{}, 0
	o.Height = func(_ r2.Vec, z float64) float64 { return z }
	square := Region{{{X: 0, Y: 0}, {X: 8, Y: 0}, {X: 8, Y: 8}, {X: 0, Y: 8}}}
	islands, err := planLayer(0, square, cover{}, &o)
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range islands[0].walls[0] {
		if b.Width != nil {
			t.Errorf("a level bead is %v wide", b.Width)
		}
		for _, p := range b.Path {
			if d := square.Distance(p); math.Abs(d-o.LineWidth/2) > 1e-3 {
				t.Errorf("a level bead lies %.4f inside", d)
			}
		}
	}
}

type level struct{}

func (level) At(r2.Vec) float64          { return 0 }
func (level) Grad(r2.Vec) (r2.Vec, bool) { return r2.Vec{}, false }
