package suggest

import (
	"cmp"
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/field"
	"conewright/geom/mesh"
	"conewright/geom/section"
)

const (
	maxCuts   = 18   // heights at which level cuts are tried
	levelFlat = 0.02 // mm that a facet may rise and still be level
)

// wanted is a height worth a cut, and how much.
type wanted struct{ z, worth float64 }

// about returns a height that needn't be exact, as a person would write it.
func about(z float64) float64 { return tidy(math.Round(z*10) / 10) }

// footShells is how many shells high a level foot is, and the least distance
// between cuts.
const footShells = 4

// cutHeights returns where the cost of a field can change: at level undersides
// and tops, at the ends of what leans out, where shells begin in mid-air, and
// where bodies of a section join or part. The part's bottom and top come first
// and last. If foot, there is a cut for a level foot.
func cutHeights(m *mesh.Mesh, s *survey, cuts *sections, starts []r3.Vec, hangs []hang, shell float64, foot bool) []float64 {
	low, high := cuts.box.Min.Z, cuts.box.Max.Z
	spacing := footShells * shell
	var all []wanted
	if foot {
		all = append(all, wanted{low + spacing, 1e9})
	}
	all = append(all, levels(m, -1, 8)...)
	all = append(all, levels(m, 1, 5)...)
	for i, p := range starts {
		if i == 6 {
			break
		}
		all = append(all, wanted{about(p.Z - spacing), 1e4})
	}
	for i, h := range hangs {
		if i == 6 {
			break
		}
		all = append(all, wanted{about(h.death), 1e4})
	}
	all = append(all, leaning(s, low, high)...)
	for i := 1; i < len(cuts.cuts); i++ {
		if a, b := bodies(cuts, i-1), bodies(cuts, i); a != b {
			k := i
			if a > b {
				k = i - 1 // where they are still apart
			}
			all = append(all, wanted{about(cuts.cuts[k].Z), 100})
		}
	}
	slices.SortStableFunc(all, func(a, b wanted) int { return cmp.Or(-cmp.Compare(a.worth, b.worth), cmp.Compare(a.z, b.z)) })
	out := []float64{low, high}
	for _, w := range all {
		z := tidy(math.Round(w.z*1e4) / 1e4)
		near := len(out) >= maxCuts+2
		for _, h := range hangs { // no cut through the tip of what hangs
			near = near || math.Abs(h.birth-z) < spacing
		}
		for _, o := range out {
			near = near || math.Abs(o-z) < spacing-1e-6
		}
		if !near {
			out = append(out, z)
		}
	}
	slices.Sort(out)
	return out
}

// rest is what a zone that begins at some height stands on.
type rest struct {
	share   float64    // its area, as a share of the most at any height: a zone is best parted where little holds it
	middles []r2.Vec   // of all of it, then of each body
	lines   [][]r2.Vec // through the middles of bodies that are long and narrow
	wall    bool       // it is one such body
}

// rests returns what zones that begin at the given heights stand on. Just under
// and just over a level face the sections differ; a cap is the smaller.
func rests(ctx context.Context, m *mesh.Mesh, heights []float64) ([]rest, error) {
	const beside = 0.02 // mm
	var at []float64
	for _, z := range heights {
		at = append(at, z-beside, z+beside)
	}
	cuts, err := section.Sections(ctx, m, at)
	if err != nil {
		return nil, err
	}
	out, most := make([]rest, len(heights)), 0.0
	for i := range out {
		cut := &cuts[2*i+1]
		if under := &cuts[2*i]; i > 0 && under.Area() < cut.Area() {
			cut = under
		}
		out[i].share = cut.Area()
		most = math.Max(most, out[i].share)
		out[i].middles = []r2.Vec{cut.Centroid()}
		for _, c := range cut.Contours {
			if one := (section.Section{Contours: [][]r2.Vec{c}}); one.Area() > 0 {
				out[i].middles = append(out[i].middles, one.Centroid())
			}
		}
		out[i].lines, _ = wallLines([]*section.Section{cut})
		out[i].wall = len(out[i].lines) == 1 && len(out[i].middles) == 2
	}
	// A foot may be wider than the wall on it: what carries is the wall.
	for i := len(out) - 3; i >= 0; i-- {
		if over := &out[i+1]; !out[i].wall && over.wall && len(out[i].middles) == 2 {
			out[i].lines, out[i].wall = append(out[i].lines, over.lines...), true
		}
	}
	for i := range out {
		out[i].share /= math.Max(most, noArea)
	}
	return out, nil
}

// levels returns the heights of the largest level faces that face up (side 1)
// or down (-1).
func levels(m *mesh.Mesh, side float64, most int) []wanted {
	area := map[int64]float64{}
	for i := range m.Facets {
		a, b, c := m.Corners(i)
		if max(a.Z, b.Z, c.Z)-min(a.Z, b.Z, c.Z) > levelFlat {
			continue
		}
		if n := r3.Cross(r3.Sub(b, a), r3.Sub(c, a)).Z / 2; n*side > 0 {
			area[int64(math.Round(min(a.Z, b.Z, c.Z)*1e4))] += n * side
		}
	}
	var out []wanted
	for z, a := range area {
		out = append(out, wanted{float64(z) / 1e4, a})
	}
	slices.SortFunc(out, func(a, b wanted) int { return cmp.Or(-cmp.Compare(a.worth, b.worth), cmp.Compare(a.z, b.z)) })
	return out[:min(most, len(out))]
}

// leaning returns where surfaces that lean out too far for level layers begin
// and end.
func leaning(s *survey, low, high float64) []wanted {
	const bins = 48
	level := field.Field{}
	m := level.Normal(r2.Vec{})
	var area [bins + 2]float64
	for i := range s.suspect {
		// Level faces are counted already, at their very heights.
		if q := &s.suspect[i]; r3.Dot(q.normal, m) < -s.limit && q.normal.Z > -0.999 {
			k := int((q.at.Z - low) / (high - low) * bins)
			area[1+max(0, min(k, bins-1))] += q.area
		}
	}
	var out []wanted
	for k := 1; k < len(area); k++ {
		if (area[k] > 0) != (area[k-1] > 0) {
			out = append(out, wanted{about(low + (high-low)*float64(k-1)/bins), 50 + area[k] + area[k-1]})
		}
	}
	return out
}

// bodies counts the outer contours of section i.
func bodies(s *sections, i int) int {
	n := 0
	for _, c := range s.cuts[i].Contours {
		if (&section.Section{Contours: [][]r2.Vec{c}}).Area() > 0 {
			n++
		}
	}
	return n
}
