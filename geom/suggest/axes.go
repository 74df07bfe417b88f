package suggest

import (
	"context"
	"math"
	"sort"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/mesh"
	"conewright/geom/section"
)

const (
	sectionCount = 24  // sections that are looked at
	nearAxis     = 0.5 // mm within which two axes are one
	maxAxes      = 56
	// axisFacets bounds axes times surveyed facets, so that the largest parts
	// don't take forever.
	axisFacets = 10_000_000
	maxMain    = 14 // of those, axes that are tried inward as well
	azimuths   = 16 // directions in which ramps are tried
)

// plan is what sections at many heights tell about the part.
type sections struct {
	cuts []section.Section
	box  r3.Box
}

// newSections cuts the part at heights spread evenly over it, the first close
// above the bed.
func newSections(ctx context.Context, m *mesh.Mesh) (*sections, error) {
	s := &sections{box: m.Bounds()}
	low, high := s.box.Min.Z, s.box.Max.Z
	at := []float64{low + math.Min(0.1, 0.01*(high-low))}
	for i := range sectionCount {
		at = append(at, low+(high-low)*(float64(i)+0.5)/sectionCount)
	}
	var err error
	s.cuts, err = section.Sections(ctx, m, at)
	return s, err
}

// axes returns places for the axis of a cone, those worth most first: the first
// main of them are middles of what stands on the bed, of bodies and of holes.
// The more facets are to be judged, the fewer there are.
func (s *sections) axes(facets int) (axes []r2.Vec, main int) {
	most := min(maxAxes, max(maxMain, axisFacets/max(1, facets)))
	add := func(p r2.Vec) {
		p = Field{Axis: p}.rounded().Axis
		if len(axes) >= most || math.IsNaN(p.X) || math.IsNaN(p.Y) {
			return
		}
		for _, q := range axes {
			if r2.Norm(r2.Sub(p, q)) < nearAxis {
				return
			}
		}
		axes = append(axes, p)
	}
	add(s.cuts[0].Centroid())
	for _, outer := range []bool{true, false} {
		for i := range s.cuts {
			if outer {
				add(s.cuts[i].Centroid())
			}
			for _, c := range s.cuts[i].Contours {
				one := section.Section{Contours: [][]r2.Vec{c}}
				if (one.Area() > 0) == outer && len(axes) < maxMain {
					add(one.Centroid())
				}
			}
		}
	}
	add(r2.Scale(0.5, r2.Vec{X: s.box.Min.X + s.box.Max.X, Y: s.box.Min.Y + s.box.Max.Y}))
	main = min(len(axes), maxMain)
	// In the walls about holes: a cone that starts there reaches all round.
	for _, i := range []int{0, len(s.cuts) / 4, len(s.cuts) / 2, 3 * len(s.cuts) / 4} {
		for _, c := range s.cuts[i].Contours {
			if hole := (section.Section{Contours: [][]r2.Vec{c}}); hole.Area() < 0 {
				for k := range 8 {
					if p, ok := wallMiddle(&s.cuts[i], hole.Centroid(), float64(k)*math.Pi/4); ok {
						add(p)
					}
				}
			}
		}
	}
	// Anywhere else where the part stands on the bed.
	b := s.cuts[0].Bounds()
	const steps = 5
	for i := range steps {
		for j := range steps {
			p := r2.Vec{
				X: b.Min.X + (b.Max.X-b.Min.X)*(float64(i)+0.5)/steps,
				Y: b.Min.Y + (b.Max.Y-b.Min.Y)*(float64(j)+0.5)/steps,
			}
			if s.cuts[0].Holds(p) {
				add(p)
			}
		}
	}
	return axes, main
}

// wallMiddle returns the middle of the first wall that a ray from p meets, p
// being in a hole.
func wallMiddle(s *section.Section, p r2.Vec, azimuth float64) (r2.Vec, bool) {
	sin, cos := math.Sincos(azimuth + 1e-4) // off the lattice of round parts
	dir := r2.Vec{X: cos, Y: sin}
	var at []float64
	for _, c := range s.Contours {
		a := c[len(c)-1]
		for _, b := range c {
			sa, sb := r2.Cross(dir, r2.Sub(a, p)), r2.Cross(dir, r2.Sub(b, p))
			if (sa < 0) != (sb < 0) {
				q := r2.Add(a, r2.Scale(sa/(sa-sb), r2.Sub(b, a)))
				if t := r2.Dot(dir, r2.Sub(q, p)); t > 0 {
					at = append(at, t)
				}
			}
			a = b
		}
	}
	sort.Float64s(at)
	if len(at) < 2 || s.Holds(p) {
		return r2.Vec{}, false
	}
	return r2.Add(p, r2.Scale((at[0]+at[1])/2, dir)), true
}

// fields returns the candidates for the whole part.
func fields(r *reach, axes []r2.Vec, main int) []Field {
	var out []Field
	if r.level() {
		out = append(out, Field{Kind: Level})
	}
	for n, angle := range r.angles() {
		for i, a := range axes {
			if n > 0 && i >= main {
				continue
			}
			out = append(out, Field{Kind: Cone, AngleDeg: angle, Axis: a}.rounded())
			if i < main {
				out = append(out, Field{Kind: Cone, AngleDeg: angle, Axis: a, Inward: true}.rounded())
			}
		}
		for k := range azimuths {
			if n > 0 && k%2 == 1 {
				continue
			}
			out = append(out, Field{Kind: Ramp, AngleDeg: angle, TowardDeg: float64(k) * 360 / azimuths}.rounded())
		}
	}
	return out
}
