package hatch_test

import (
	"math"
	"testing"

	"conewright/render/hatch"

	"gonum.org/v1/gonum/spatial/r3"
)

// square returns a square of 20 mm with two directions, in two triangles.
func square(u, v r3.Vec) [][3]r3.Vec {
	o := r3.Vec{X: 1.3, Y: 2.7, Z: 3.1}
	a, b, c := r3.Add(o, r3.Scale(20, u)), r3.Add(o, r3.Scale(20, r3.Add(u, v))), r3.Add(o, r3.Scale(20, v))
	return [][3]r3.Vec{{o, a, b}, {o, b, c}}
}

func TestHatchCrossesAtRightAnglesAtItsPitch(t *testing.T) {
	x, y, z := r3.Vec{X: 1}, r3.Vec{Y: 1}, r3.Vec{Z: 1}
	for name, s := range map[string][][3]r3.Vec{"level": square(x, y), "wall along x": square(y, z), "wall along y": square(z, x)} {
		const pitch = 2.0
		length, directions := 0.0, map[[3]int]bool{}
		for _, line := range hatch.New(s).Lines(pitch) {
			for i := 1; i < len(line.Points); i++ {
				d := r3.Sub(line.Points[i], line.Points[i-1])
				if across := r3.Dot(d, line.Normals[i-1]); math.Abs(across) > 1e-9 || r3.Norm(line.Normals[i-1]) == 0 {
					t.Fatalf("%s: a stroke leaves its facet by %v mm", name, across)
				}
				length += r3.Norm(d)
				if d.X+d.Y*1.01+d.Z*1.02 < 0 {
					d = r3.Scale(-1, d)
				}
				d = r3.Unit(d)
				directions[[3]int{int(math.Round(d.X * 100)), int(math.Round(d.Y * 100)), int(math.Round(d.Z * 100))}] = true
			}
		}
		// lines a pitch apart cover area / pitch; two families
		if want := 2 * 400 / pitch; math.Abs(length-want) > 0.1*want {
			t.Errorf("%s: %v mm of hatch, want about %v", name, length, want)
		}
		var found [][3]int
		for d := range directions {
			found = append(found, d)
		}
		if len(found) != 2 || found[0][0]*found[1][0]+found[0][1]*found[1][1]+found[0][2]*found[1][2] != 0 {
			t.Errorf("%s: directions %v don't cross squarely", name, found)
		}
	}
}

func TestHatchIsBounded(t *testing.T) {
	if n := len(hatch.New(square(r3.Vec{X: 1}, r3.Vec{Y: 1})).Lines(1e-9)); n > 10_000 {
		t.Errorf("%d lines", n)
	}
	if n := len(hatch.New(nil).Lines(1)); n != 0 {
		t.Errorf("%d lines on nothing", n)
	}
}

func TestParallelHatchRunsOneWay(t *testing.T) {
	for name, s := range map[string][][3]r3.Vec{
		"level": square(r3.Vec{X: 1}, r3.Vec{Y: 1}), "wall along x": square(r3.Vec{Y: 1}, r3.Vec{Z: 1}), "wall along y": square(r3.Vec{Z: 1}, r3.Vec{X: 1}),
	} {
		const pitch = 2.0
		length := 0.0
		var way r3.Vec
		for _, line := range hatch.New(s).Parallel(pitch) {
			for i := 1; i < len(line.Points); i++ {
				d := r3.Sub(line.Points[i], line.Points[i-1])
				length += r3.Norm(d)
				if way == (r3.Vec{}) {
					way = r3.Unit(d)
				}
				if off := r3.Norm(r3.Cross(way, d)); off > 1e-9 {
					t.Fatalf("%s: strokes cross", name)
				}
			}
		}
		if want := 400 / pitch; math.Abs(length-want) > 0.1*want {
			t.Errorf("%s: %v mm of hatch, want about %v", name, length, want)
		}
	}
}
