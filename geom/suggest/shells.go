package suggest

import (
	"context"
	"math"

	"conewright/geom/field"
	"conewright/geom/mesh"
	"conewright/geom/planner"
	"conewright/geom/section"
	"conewright/geom/warp"

	"gonum.org/v1/gonum/spatial/r2"
)

const (
	// fewFacets is how many facets a layer cuts at most for its section to be
	// looked at: sections too small for a bead, even many, are made of fewer.
	fewFacets = 512
	// surelyLaid is the area of a section over the length of its outline, in
	// pitches, from which on a bead surely fits: some place lies about as deep
	// inside.
	surelyLaid = 0.3
)

// shells counts the planar layers of a refined zone in which the planner lays
// something, and returns the warped height. Where solid begins and ends, layers
// cut the mesh but are too small for a bead.
func (s *search) shells(ctx context.Context, m *mesh.Mesh, f *field.Field, layer float64) (count int, height float64, err error) {
	lifted, _ := warp.Lift(m, f)
	for _, v := range lifted.Vertices {
		height = math.Max(height, v.Z)
	}
	count, doubtful := openLayers(lifted, height, layer)
	cuts, err := section.Sections(ctx, lifted, doubtful)
	if err != nil {
		return 0, 0, err
	}
	o := planner.Options{
		LayerHeight: layer, BeadArea: beadArea(&s.options), Filament: s.options.Card.Filament,
		Walls: 2, Fill: 1, Speed: 1, TravelSpeed: 1,
	}
	for i := range cuts {
		if outline(&cuts[i])*surelyLaid*o.BeadArea/layer < cuts[i].Area() {
			continue
		}
		laid, err := planner.Lays(cuts[i].Contours, o)
		if err != nil {
			return 0, 0, err
		}
		if !laid {
			count--
		}
	}
	return count, height, nil
}

// openLayers counts the layers whose mid-height cuts m, as the planner counts
// them (the last one if it is half full), and lists the mid-heights of those
// that cut few facets, and of the first and the last.
func openLayers(m *mesh.Mesh, height, layer float64) (count int, few []float64) {
	n := max(1, int(math.Ceil(height/layer-0.5)))
	change := make([]int32, n+1)
	for i := range m.Facets {
		a, b, c := m.Corners(i)
		lo, hi := min(a.Z, b.Z, c.Z), max(a.Z, b.Z, c.Z)
		from, to := int(math.Ceil(lo/layer-0.5)), int(math.Ceil(hi/layer-0.5))
		if from = min(max(from, 0), n); from < to {
			change[from]++
			change[min(to, n)]--
		}
	}
	crossing := int32(0)
	for k := range n {
		if crossing += change[k]; crossing > 0 {
			count++
			if crossing <= fewFacets || k == 0 || k == n-1 || crossing == change[k] {
				few = append(few, (float64(k)+0.5)*layer)
			}
		}
	}
	return count, few
}

// outline is the length of all contours of a section, mm.
func outline(s *section.Section) float64 {
	sum := 0.0
	for _, c := range s.Contours {
		a := c[len(c)-1]
		for _, b := range c {
			sum += r2.Norm(r2.Sub(b, a))
			a = b
		}
	}
	return sum
}
