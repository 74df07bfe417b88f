package planner_test

import (
	"context"
	"fmt"
	"math"
	"path/filepath"
	"testing"

	clipper "github.com/ctessum/go.clipper"
	"gonum.org/v1/gonum/spatial/r2"

	"conewright/geom/field"
	"conewright/geom/mesh"
	"conewright/geom/planner"
	"conewright/geom/warp"
)

// The checks of this file hold what was planned against a general polygon
// library (clipper), which sees only paths, widths and regions.

const clipUnit = 1e-4 // mm

func toClip(path []r2.Vec) clipper.Path {
	out := make(clipper.Path, len(path))
	for i, p := range path {
		out[i] = &clipper.IntPoint{X: clipper.CInt(math.Round((p.X - axis.X) / clipUnit)), Y: clipper.CInt(math.Round((p.Y - axis.Y) / clipUnit))}
	}
	return out
}

func regionPaths(r planner.Region) clipper.Paths {
	var out clipper.Paths
	for _, c := range r {
		out = append(out, toClip(c))
	}
	return out
}

func clipArea(p clipper.Paths) float64 {
	return clipper.AreaCombined(p) * clipUnit * clipUnit
}

func clip(op clipper.ClipType, a, b clipper.Paths) clipper.Paths {
	c := clipper.NewClipper(clipper.IoNone)
	c.AddPaths(a, clipper.PtSubject, true)
	if len(b) > 0 {
		c.AddPaths(b, clipper.PtClip, true)
	}
	out, _ := c.Execute1(op, clipper.PftNonZero, clipper.PftNonZero)
	return out
}

func grown(p clipper.Paths, by float64) clipper.Paths {
	if len(p) == 0 {
		return nil
	}
	co := clipper.NewClipperOffset()
	co.ArcTolerance = 20
	co.AddPaths(p, clipper.JtRound, clipper.EtClosedPolygon)
	return co.Execute(by / clipUnit)
}

// stroke is the area that a bead covers: its path, share of its width wide, extra
// mm more, with round or square ends.
func stroke(b *planner.Bead, o *planner.Options, share, extra float64, ends clipper.EndType) clipper.Paths {
	path := b.Path
	if b.Closed {
		path = append(append([]r2.Vec(nil), path...), path[0])
	}
	if b.Width == nil {
		return ribbon(path, o.Pitch*share+extra, ends)
	}
	var all clipper.Paths
	for i := 1; i < len(path); i++ {
		w := (b.Width[i-1] + b.Width[i%len(b.Width)]) / 2
		all = append(all, ribbon(path[i-1:i+1], w*share+extra, ends)...)
	}
	return clip(clipper.CtUnion, all, nil)
}

func ribbon(path []r2.Vec, width float64, ends clipper.EndType) clipper.Paths {
	co := clipper.NewClipperOffset()
	co.ArcTolerance = 20
	co.AddPath(toClip(path), clipper.JtRound, ends)
	return co.Execute(width / 2 / clipUnit)
}

// layerFigures are shares that a layer comes to.
type layerFigures struct {
	outside float64 // of the beads' area that lies outside the region
	crossed float64 // of the beads' area, all 20 % narrower, that lies in another
	bare    float64 // of the region that no bead covers
}

func figuresOf(l *planner.Layer, o *planner.Options) layerFigures {
	const sag = 0.02 // mm: contours and arcs
	region := clip(clipper.CtUnion, regionPaths(l.Region), nil)
	var all, narrow clipper.Paths
	sum, outside := 0.0, 0.0
	wide := grown(region, sag)
	for i := range l.Beads {
		b := &l.Beads[i]
		s := stroke(b, o, 1, 0, clipper.EtOpenRound)
		outside += clipArea(clip(clipper.CtDifference, s, wide))
		all = append(all, stroke(b, o, 1, o.LineWidth-o.Pitch, clipper.EtOpenRound)...)
		n := stroke(b, o, 0.8, 0, clipper.EtOpenButt) // a bead ends where its path does: round ends would count where two meet
		sum += clipArea(n)
		narrow = append(narrow, n...)
	}
	one := clipArea(clip(clipper.CtUnion, narrow, nil))
	covered := clipArea(clip(clipper.CtIntersection, clip(clipper.CtUnion, all, nil), region))
	return layerFigures{outside / sum, 1 - one/sum, 1 - covered/clipArea(region)}
}

// Issue: every planner output passes: beads inside the region by half a width,
// solid layers covered by 97 %, no bead crosses another by more than 20 % of its
// width, full fill holds the part's volume within 4 %. On every demo part, in
// cones, a ramp and level layers.
func TestDemoPartsArePlannedAsPromised(t *testing.T) {
	parts, err := filepath.Glob("../../assets/parts/*.stl")
	if err != nil || len(parts) < 8 {
		t.Fatalf("%d demo parts: %v", len(parts), err)
	}
	fields := []struct {
		name  string
		field field.Field
		angle float64
	}{
		{"outward", field.NewCone(math.Pi/4, false, axis, 0), math.Pi / 4},
		{"inward", field.NewCone(math.Pi/4, true, axis, 0), math.Pi / 4},
		{"ramp", field.NewRamp(math.Pi/6, 1), math.Pi / 6},
		{"level", field.Field{}, 0},
	}
	for i, file := range parts {
		for k, f := range fields {
			if testing.Short() && (i%3 != 0 || k != i%len(fields)) {
				continue
			}
			for _, fill := range []float64{1, 0.15} {
				if testing.Short() && fill < 1 {
					continue
				}
				t.Run(fmt.Sprintf("%s/%s/%g", filepath.Base(file), f.name, fill), func(t *testing.T) {
					t.Parallel()
					checkPart(t, file, &f.field, f.angle, fill)
				})
			}
		}
	}
}

func checkPart(t *testing.T, file string, f *field.Field, angle, fill float64) {
	part, _, err := mesh.ReadFile(context.Background(), file, mesh.ReadOptions{Unit: 1})
	if err != nil {
		t.Fatal(err)
	}
	part, _ = part.Mend()
	part = part.Seat(axis.X, axis.Y)
	warped, _, err := warp.Warp(context.Background(), part, f, 0.02)
	if err != nil {
		t.Fatal(err)
	}
	o := options(angle)
	o.Fill = fill
	m, err := planner.Plan(context.Background(), warped, o, nil)
	if err != nil {
		t.Fatal(err)
	}
	if off := volume(m)/(part.Volume()-skin(m)) - 1; fill == 1 && math.Abs(off) > 0.04 {
		t.Errorf("beads hold %.2f %% more or less than the part", 100*off)
	}
	step := max(1, len(m.Layers)/12)
	if testing.Short() {
		step *= 3
	}
	for i := step / 2; i < len(m.Layers); i += step {
		checkLayer(t, m, i, fill == 1)
	}
}

// skin is the volume along the outlines that the outermost beads' round sides
// leave free, mm3; in a thin-walled part that alone is over 4 %.
func skin(m *planner.Motion) float64 {
	sum := 0.0
	for i := range m.Layers {
		for _, c := range m.Layers[i].Region {
			a := c[len(c)-1]
			for _, b := range c {
				sum += r2.Norm(r2.Sub(b, a))
				a = b
			}
		}
	}
	return sum * (m.Options.LineWidth - m.Options.Pitch) / 2 * m.Options.LayerHeight
}

// leastLayer, mm2, is about a bead of 20 mm: where solid comes to a tip, sections
// are as small as a bead itself, and shares of them say nothing.
const leastLayer = 10

func checkLayer(t *testing.T, m *planner.Motion, i int, solid bool) {
	t.Helper()
	l := &m.Layers[i]
	if l.Region.Area() < leastLayer {
		return
	}
	g := figuresOf(l, &m.Options)
	if g.outside > 0.002 {
		t.Errorf("layer %d: %.2f %% of the beads lies outside", i, 100*g.outside)
	}
	if g.crossed > 0.02 {
		t.Errorf("layer %d: %.2f %% of the beads lies in another", i, 100*g.crossed)
	}
	if solid && g.bare > 0.03 {
		t.Errorf("layer %d: %.2f %% is bare", i, 100*g.bare)
	}
}
