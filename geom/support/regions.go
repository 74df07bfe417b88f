package support

import (
	"fmt"
	"math"

	clipper "github.com/ctessum/go.clipper"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/field"
	"conewright/geom/zone"
)

// Section is a zone cut by one shell, seen in plan.
type Section struct {
	Height   float64    // z + f of the shell, mm
	Contours [][]r2.Vec // closed, solid on their left
}

// RegionStart is a region of a shell under which the shell before has nothing.
type RegionStart struct {
	Shell int     // index of the section
	At    r3.Vec  // real: the middle of the region's outline, on the shell
	Area  float64 // of the region in plan, without its holes, mm2
}

const (
	clipScale   = 1e4  // clipper counts in whole numbers; 1e-4 mm is finer than any bead
	leastRegion = 1e-3 // mm2: smaller regions and overlaps are rounding
)

// RegionStarts finds mid-air starts a second way, to check MidairStarts by: a
// region of a shell that overlaps no region of the shell before, and doesn't
// touch the base. Sections are those of the zone's warped mesh, in ascending
// height, at equal steps; base is the zone's. It sees nothing that is thinner
// than a step, and takes a wall that leans by more than its own width from
// shell to shell for a start.
func RegionStarts(sections []Section, f *field.Field, base *zone.Base) (starts []RegionStart, err error) {
	at := 0
	defer func() { // clipper panics where it is at its wits' end
		if r := recover(); r != nil {
			err = fmt.Errorf("shell %d: regions can't be told apart: %v", at, r)
		}
	}()
	var before clipper.Paths
	for i, s := range sections {
		at = i
		step := 0.0
		if i > 0 {
			step = s.Height - sections[i-1].Height
		} else if len(sections) > 1 {
			step = sections[1].Height - s.Height
		}
		now := toPaths(s.Contours)
		for _, r := range regionsOf(now) {
			if overlap(r, before) || touches(r, s.Height, step, f, base) {
				continue
			}
			c := middle(r[0])
			starts = append(starts, RegionStart{Shell: i, At: r3.Vec{X: c.X, Y: c.Y, Z: s.Height - f.At(c)}, Area: areaOf(r)})
		}
		before = now
	}
	return starts, nil
}

func toPaths(contours [][]r2.Vec) clipper.Paths {
	var out clipper.Paths
	for _, c := range contours {
		var p clipper.Path
		for _, v := range c {
			p = append(p, &clipper.IntPoint{X: clipper.CInt(math.Round(v.X * clipScale)), Y: clipper.CInt(math.Round(v.Y * clipScale))})
		}
		out = append(out, p)
	}
	return out
}

// regionsOf splits a shell into its regions, each an outline and its holes.
func regionsOf(paths clipper.Paths) []clipper.Paths {
	c := clipper.NewClipper(clipper.IoNone)
	c.AddPaths(paths, clipper.PtSubject, true)
	tree, ok := c.Execute2(clipper.CtUnion, clipper.PftPositive, clipper.PftPositive)
	if !ok {
		return nil
	}
	var out []clipper.Paths
	for n := tree.GetFirst(); n != nil; n = n.GetNext() {
		if n.IsHole() {
			continue
		}
		r := clipper.Paths{n.Contour()}
		for _, h := range n.Childs() {
			r = append(r, h.Contour())
		}
		if areaOf(r) > leastRegion {
			out = append(out, r)
		}
	}
	return out
}

func overlap(region, before clipper.Paths) bool {
	if len(before) == 0 {
		return false
	}
	c := clipper.NewClipper(clipper.IoNone)
	c.AddPaths(region, clipper.PtSubject, true)
	c.AddPaths(before, clipper.PtClip, true)
	common, ok := c.Execute1(clipper.CtIntersection, clipper.PftPositive, clipper.PftPositive)
	return ok && areaOf(common) > leastRegion
}

// touches reports whether some of the region's outlines lie on the shell less
// than two steps above the base.
func touches(region clipper.Paths, height, step float64, f *field.Field, base *zone.Base) bool {
	for _, p := range region {
		for _, v := range p {
			q := r2.Vec{X: float64(v.X) / clipScale, Y: float64(v.Y) / clipScale}
			z := height - f.At(q)
			if b, _, _ := base.Height(q.X, q.Y, z+step); z-b < 2*step {
				return true
			}
		}
	}
	return false
}

// areaOf sums signed areas, mm2; holes count negative.
func areaOf(paths clipper.Paths) float64 {
	return math.Abs(clipper.AreaCombined(paths)) / (clipScale * clipScale)
}

func middle(p clipper.Path) r2.Vec {
	var c r2.Vec
	for _, v := range p {
		c.X += float64(v.X)
		c.Y += float64(v.Y)
	}
	return r2.Scale(1/(clipScale*float64(len(p))), c)
}
