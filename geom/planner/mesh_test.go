package planner_test

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/field"
	"conewright/geom/form"
	"conewright/geom/machine"
	"conewright/geom/mesh"
	"conewright/geom/planner"
	"conewright/geom/warp"
)

var axis = r2.Vec{X: 125, Y: 105}

// lathe turns a profile of (radius, height) about the axis; the profile runs from
// a point on the axis upward to another one.
func lathe(n int, profile ...[2]float64) *mesh.Mesh {
	var points []r2.Vec
	for _, p := range profile {
		points = append(points, r2.Vec{X: p[0], Y: p[1]})
	}
	return form.Moved(form.Turned(points, n), r3.Vec{X: axis.X, Y: axis.Y})
}

// options for a cone of the given angle, as DESIGN 3 derives them.
func options(angle float64) planner.Options {
	const thick, bead = 0.2, 0.45
	return planner.Options{
		LayerHeight: thick / math.Cos(angle),
		BeadArea:    (bead-thick)*thick + math.Pi*thick*thick/4,
		Filament:    1.75,
		Walls:       2, Caps: 4, Fill: 1, Axis: axis,
		Speed: 40, TravelSpeed: 120,
		Retract: machine.Retract{Length: 1, Speed: 35, Lift: 0.4},
	}
}

func volume(m *planner.Motion) float64 {
	return m.Filament() * math.Pi / 4 * m.Options.Filament * m.Options.Filament
}

// The warp keeps volume, so planned beads hold what the part holds whatever
// the field. Volumes of revolution by Pappus and Guldin's theorem.
func TestFullFillOfWarpedPartsKeepsVolume(t *testing.T) {
	disc := lathe(90, [2]float64{0, 0}, [2]float64{10, 0}, [2]float64{10, 6}, [2]float64{0, 6})
	bollard := lathe(90, [2]float64{0, 0}, [2]float64{5, 0}, [2]float64{5, 6}, [2]float64{9, 6}, [2]float64{9, 10}, [2]float64{0, 10})
	facets := math.Sin(2*math.Pi/90) / (2 * math.Pi / 90) // area of a polygon in its circle
	for _, part := range []struct {
		name   string
		m      *mesh.Mesh
		volume float64
	}{
		{"disc", disc, math.Pi * 100 * 6 * facets},
		{"bollard", bollard, math.Pi * (25*6 + 81*4) * facets},
	} {
		for _, f := range []struct {
			name  string
			field field.Field
			angle float64
		}{
			{"level", field.Field{}, 0},
			{"outward", field.NewCone(math.Pi/4, false, axis, 0), math.Pi / 4},
			{"inward", field.NewCone(math.Pi/4, true, axis, 0), math.Pi / 4},
			{"ramp", field.NewRamp(math.Pi/6, 1), math.Pi / 6},
		} {
			for _, pattern := range []string{planner.PatternRings, planner.PatternLines} {
				t.Run(part.name+"/"+f.name+"/"+pattern, func(t *testing.T) {
					t.Parallel()
					warped, _, err := warp.Warp(context.Background(), part.m, &f.field, 0.02)
					if err != nil {
						t.Fatal(err)
					}
					o := options(f.angle)
					o.Pattern = pattern
					m, err := planner.Plan(context.Background(), warped, o, nil)
					if err != nil {
						t.Fatal(err)
					}
					off := volume(m)/part.volume - 1
					if math.Abs(off) > 0.03 { // better than promised
						t.Errorf("beads hold %.2f %% of the part's volume more or less", 100*off)
					}
				})
			}
		}
	}
}

func TestPlanRefusesWhatItCannotCut(t *testing.T) {
	sound := lathe(12, [2]float64{0, 0}, [2]float64{5, 0}, [2]float64{5, 5}, [2]float64{0, 5})
	sunk := lathe(12, [2]float64{0, -3}, [2]float64{5, -3}, [2]float64{5, 5}, [2]float64{0, 5})
	flat := lathe(12, [2]float64{0, 0}, [2]float64{5, 0}, [2]float64{5, 0.05}, [2]float64{0, 0.05})
	lost := lathe(12, [2]float64{0, 0}, [2]float64{5, 0}, [2]float64{math.NaN(), 5}, [2]float64{0, 5})
	for name, m := range map[string]*mesh.Mesh{"empty": {}, "under the bed": sunk, "lower than a layer": flat, "NaN": lost} {
		if _, err := planner.Plan(context.Background(), m, options(0), nil); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	if _, err := planner.Plan(context.Background(), sound, planner.Options{}, nil); err == nil {
		t.Error("zero options: no error")
	}
}

func ExamplePlan() {
	disc := lathe(60, [2]float64{0, 0}, [2]float64{5, 0}, [2]float64{5, 2}, [2]float64{0, 2})
	motion, err := planner.Plan(context.Background(), disc, options(0), nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	var file bytes.Buffer
	if err := motion.Write(&file); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(len(motion.Layers), "layers, the first one up to", motion.Layers[0].Z)
	fmt.Println(strings.Join(strings.SplitN(file.String(), "\n", 9)[:8], "\n"))
	// Output:
	// 10 layers, the first one up to 0.2
	// G21
	// G90
	// M82
	// G92 E0
	// G1 Z0.600 F7200.0
	// G1 X129.367 Y105.000
	// G1 Z0.200
	// G1 X129.343 Y105.458 E0.01553 F2400.0
}

// A body of about 100,000 facets, warped for a 45-degree cone, in 500 shells.
func BenchmarkPlanHundredThousandFacets(b *testing.B) {
	const rows = 220
	profile := [][2]float64{{0, 0}}
	for i := range rows {
		z := float64(i) / (rows - 1)
		profile = append(profile, [2]float64{20 + 6*math.Sin(9*z), 100 * z})
	}
	profile = append(profile, [2]float64{0, 100})
	f := field.NewCone(math.Pi/4, false, axis, 0)
	warped, _, err := warp.Warp(context.Background(), lathe(rows, profile...), &f, 0.02)
	if err != nil {
		b.Fatal(err)
	}
	o := options(math.Pi / 4)
	o.Fill = 0.15
	for b.Loop() {
		m, err := planner.Plan(context.Background(), warped, o, nil)
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(len(m.Layers)), "layers")
		b.ReportMetric(float64(len(warped.Facets)), "facets")
	}
}
