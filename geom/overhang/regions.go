package overhang

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/field"
	"conewright/geom/polygon"
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

// leastRegion is the area, mm2, under which regions and overlaps are rounding.
const leastRegion = 1e-3

// RegionStarts finds mid-air starts a second way, to check MidairStarts by: a
// region of a shell that overlaps no region of the shell before, and doesn't
// touch the base. Sections are those of the zone's warped mesh, in ascending
// height, at equal steps; base is the zone's. It sees nothing that is thinner
// than a step, and takes a wall that leans by more than its own width from
// shell to shell for a start.
func RegionStarts(sections []Section, f *field.Field, base *zone.Base) (starts []RegionStart, err error) {
	shells := make([][]region, len(sections))
	for i, s := range sections {
		if shells[i], err = regionsOf(s.Contours); err != nil {
			return nil, fmt.Errorf("shell %d: regions can't be told apart: %w", i, err)
		}
	}
	step := 0.0
	if len(sections) > 1 {
		step = sections[1].Height - sections[0].Height
	}
	for i, s := range sections {
		var before, after []region
		if i > 0 {
			before = shells[i-1]
		}
		if i+1 < len(shells) {
			after = shells[i+1]
		}
		fresh := make([]bool, len(shells[i]))
		for k, r := range shells[i] {
			held, err := overlapsAny(r, before)
			if err != nil {
				return nil, fmt.Errorf("shell %d: %w", i, err)
			}
			fresh[k] = !held && !touches(r, s.Height, step, f, base)
		}
		for k, r := range shells[i] {
			if !fresh[k] {
				continue
			}
			brief, err := brief(k, shells[i], fresh, after)
			if err != nil {
				return nil, fmt.Errorf("shell %d: %w", i, err)
			}
			o := r.Region[0]
			starts = append(starts, RegionStart{Shell: i, Outline: o, Area: r.area, Brief: brief,
				At: r3.Vec{X: o[0].X, Y: o[0].Y, Z: s.Height - f.At(o[0])}})
		}
	}
	return starts, nil
}

// brief reports whether region k of a shell doesn't go on by itself: no region
// after rests on it, or one that does rests on an older or larger region too.
func brief(k int, now []region, fresh []bool, after []region) (bool, error) {
	for _, a := range after {
		rests, err := overlap(now[k], a)
		if err != nil {
			return false, err
		}
		if !rests {
			continue
		}
		for j, other := range now {
			lesser := fresh[j] && (other.area < now[k].area || other.area == now[k].area && j > k)
			if j == k || lesser {
				continue
			}
			if shared, err := overlap(other, a); shared || err != nil {
				return shared, err
			}
		}
		return false, nil
	}
	return true, nil
}

func overlapsAny(r region, others []region) (bool, error) {
	for _, o := range others {
		if found, err := overlap(r, o); found || err != nil {
			return found, err
		}
	}
	return false, nil
}

// region is an outline and its holes, and the outline's bounds.
type region struct {
	polygon.Region
	box  r2.Box
	area float64 // mm2
}

// regionsOf splits a shell into its regions.
func regionsOf(contours [][]r2.Vec) ([]region, error) {
	united, err := polygon.Union(contours)
	if err != nil {
		return nil, err
	}
	var out []region
	for _, piece := range united.Components() {
		if area := piece.Area(); area > leastRegion {
			out = append(out, region{piece, piece.Bounds(), area})
		}
	}
	return out, nil
}

// overlap reports whether two regions have more than rounding in common.
func overlap(a, b region) (bool, error) {
	if a.box.Min.X > b.box.Max.X || b.box.Min.X > a.box.Max.X || a.box.Min.Y > b.box.Max.Y || b.box.Min.Y > a.box.Max.Y {
		return false, nil
	}
	common, err := polygon.Intersect(a.Region, b.Region)
	return common.Area() > leastRegion, err
}

// touches reports whether some of the region's outlines lie on the shell less
// than two steps above the base.
func touches(r region, height, step float64, f *field.Field, base *zone.Base) bool {
	for _, c := range r.Region {
		for _, q := range c {
			z := height - f.At(q)
			if b, _, _ := base.Height(q.X, q.Y, z+step); z-b < 2*step {
				return true
			}
		}
	}
	return false
}
