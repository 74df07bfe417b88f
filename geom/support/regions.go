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
	Shell   int      // index of the section
	At      r3.Vec   // real: a point of the region's outline, on the shell
	Outline []r2.Vec // of the region in plan
	Area    float64  // of the region in plan, without its holes, mm2
	Brief   bool     // by the next shell it is gone or has merged: it may be noise
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
	shells := make([][]region, len(sections))
	for i, s := range sections {
		at = i
		shells[i] = regionsOf(toPaths(s.Contours))
	}
	step := 0.0
	if len(sections) > 1 {
		step = sections[1].Height - sections[0].Height
	}
	for i, s := range sections {
		at = i
		var before, after []region
		if i > 0 {
			before = shells[i-1]
		}
		if i+1 < len(shells) {
			after = shells[i+1]
		}
		fresh := make([]bool, len(shells[i]))
		for k, r := range shells[i] {
			fresh[k] = !overlapsAny(r, before) && !touches(r, s.Height, step, f, base)
		}
		for k, r := range shells[i] {
			if !fresh[k] {
				continue
			}
			o := fromPath(r.paths[0])
			starts = append(starts, RegionStart{Shell: i, Outline: o, Area: r.area, Brief: brief(k, shells[i], fresh, after),
				At: r3.Vec{X: o[0].X, Y: o[0].Y, Z: s.Height - f.At(o[0])}})
		}
	}
	return starts, nil
}

// brief reports whether region k of a shell doesn't go on by itself: no region
// after rests on it, or one that does rests on an older or larger region too.
func brief(k int, now []region, fresh []bool, after []region) bool {
	for _, a := range after {
		if !overlap(now[k], a) {
			continue
		}
		for j, other := range now {
			lesser := fresh[j] && (other.area < now[k].area || other.area == now[k].area && j > k)
			if j != k && !lesser && overlap(other, a) {
				return true
			}
		}
		return false
	}
	return true
}

func overlapsAny(r region, others []region) bool {
	for _, o := range others {
		if overlap(r, o) {
			return true
		}
	}
	return false
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

// region is an outline and its holes, and the outline's bounds.
type region struct {
	paths    clipper.Paths
	min, max clipper.IntPoint
	area     float64 // mm2
}

func newRegion(paths clipper.Paths) region {
	r := region{paths: paths, min: *paths[0][0], max: *paths[0][0], area: areaOf(paths)}
	for _, p := range paths[0] {
		r.min = clipper.IntPoint{X: min(r.min.X, p.X), Y: min(r.min.Y, p.Y)}
		r.max = clipper.IntPoint{X: max(r.max.X, p.X), Y: max(r.max.Y, p.Y)}
	}
	return r
}

// regionsOf splits a shell into its regions.
func regionsOf(paths clipper.Paths) []region {
	c := clipper.NewClipper(clipper.IoNone)
	c.AddPaths(paths, clipper.PtSubject, true)
	tree, ok := c.Execute2(clipper.CtUnion, clipper.PftPositive, clipper.PftPositive)
	if !ok {
		return nil
	}
	var out []region
	for n := tree.GetFirst(); n != nil; n = n.GetNext() {
		if n.IsHole() {
			continue
		}
		paths := clipper.Paths{n.Contour()}
		for _, h := range n.Childs() {
			paths = append(paths, h.Contour())
		}
		if r := newRegion(paths); r.area > leastRegion {
			out = append(out, r)
		}
	}
	return out
}

// overlap reports whether two regions have more than rounding in common.
func overlap(a, b region) bool {
	if a.min.X > b.max.X || b.min.X > a.max.X || a.min.Y > b.max.Y || b.min.Y > a.max.Y {
		return false
	}
	c := clipper.NewClipper(clipper.IoNone)
	c.AddPaths(a.paths, clipper.PtSubject, true)
	c.AddPaths(b.paths, clipper.PtClip, true)
	common, ok := c.Execute1(clipper.CtIntersection, clipper.PftPositive, clipper.PftPositive)
	return ok && areaOf(common) > leastRegion
}

// touches reports whether some of the region's outlines lie on the shell less
// than two steps above the base.
func touches(r region, height, step float64, f *field.Field, base *zone.Base) bool {
	for _, p := range r.paths {
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

func fromPath(p clipper.Path) []r2.Vec {
	out := make([]r2.Vec, len(p))
	for i, v := range p {
		out[i] = r2.Vec{X: float64(v.X) / clipScale, Y: float64(v.Y) / clipScale}
	}
	return out
}
