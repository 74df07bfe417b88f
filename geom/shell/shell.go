// Package shell cuts meshes by many level planes, or by many shells of a field,
// in one sweep, and returns what it meets as closed contours.
//
// Lengths are mm. Contours run with solid on their left seen from above: outer
// ones counter-clockwise, holes clockwise.
package shell

import (
	"context"
	"math"

	"conewright/geom/field"
	"conewright/geom/mesh"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Section is what a level plane meets of a mesh.
type Section struct {
	Z        float64
	Contours [][]r2.Vec // closed; the first point isn't repeated
	Open     int        // chains left out because the mesh has a hole there
}

// Sections cuts m by level planes at the given heights, ascending. A vertex
// exactly on a plane counts as above it, so that the contours of a closed mesh
// are always closed. There is one section for each height, in their order.
func Sections(ctx context.Context, m *mesh.Mesh, heights []float64) ([]Section, error) {
	values := make([]float64, len(m.Vertices))
	for i, v := range m.Vertices {
		values[i] = v.Z
	}
	sections := make([]Section, len(heights))
	err := sweep(ctx, m, values, heights, func(i int, chains [][]r3.Vec, open int) {
		sections[i] = Section{Z: heights[i], Open: open}
		for _, chain := range chains {
			if c := flatten(chain); len(c) >= 3 {
				sections[i].Contours = append(sections[i].Contours, c)
			}
		}
	})
	return sections, err
}

// flatten drops z and points that lie on the last one.
func flatten(chain []r3.Vec) []r2.Vec {
	flat := make([]r2.Vec, 0, len(chain))
	for _, p := range chain {
		q := r2.Vec{X: p.X, Y: p.Y}
		if n := len(flat); n == 0 || flat[n-1] != q {
			flat = append(flat, q)
		}
	}
	for len(flat) > 1 && flat[len(flat)-1] == flat[0] {
		flat = flat[:len(flat)-1]
	}
	if len(flat) >= 3 && signedArea(flat) == 0 {
		return nil
	}
	return flat
}

// Curve is what one shell meets of a mesh's surface.
type Curve struct {
	C     float64    // the shell is z + f = C
	Lines [][]r3.Vec // closed; the first point isn't repeated
}

// Curves returns where the shells z + f = c of the given values, ascending, meet
// the surface of m, which isn't warped. Between vertices the lift is taken as
// linear: refine m (geom/warp) to the accuracy wanted.
func Curves(ctx context.Context, m *mesh.Mesh, f *field.Field, c []float64) ([]Curve, error) {
	values := make([]float64, len(m.Vertices))
	for i, v := range m.Vertices {
		values[i] = v.Z + f.At(r2.Vec{X: v.X, Y: v.Y})
	}
	curves := make([]Curve, len(c))
	err := sweep(ctx, m, values, c, func(i int, chains [][]r3.Vec, _ int) {
		curves[i] = Curve{C: c[i], Lines: chains}
	})
	return curves, err
}

// Area returns the section's area, mm2: outer contours less holes.
func (s *Section) Area() float64 {
	sum := 0.0
	for _, c := range s.Contours {
		sum += signedArea(c)
	}
	return sum
}

// Centroid returns the centre of the section's area; the middle of its bounds
// where it has none.
func (s *Section) Centroid() r2.Vec {
	var sum r2.Vec
	area := 0.0
	for _, c := range s.Contours {
		for i, p := range c {
			q := c[(i+1)%len(c)]
			k := r2.Cross(p, q)
			area += k / 2
			sum = r2.Add(sum, r2.Scale(k/6, r2.Add(p, q)))
		}
	}
	if math.Abs(area) < 1e-12 {
		b := s.Bounds()
		return r2.Scale(0.5, r2.Add(b.Min, b.Max))
	}
	return r2.Scale(1/area, sum)
}

// Bounds returns the box around all contours; of no contours, an empty one at
// the origin.
func (s *Section) Bounds() r2.Box {
	if len(s.Contours) == 0 {
		return r2.Box{}
	}
	inf := math.Inf(1)
	b := r2.Box{Min: r2.Vec{X: inf, Y: inf}, Max: r2.Vec{X: -inf, Y: -inf}}
	for _, c := range s.Contours {
		for _, p := range c {
			b.Min.X, b.Min.Y = math.Min(b.Min.X, p.X), math.Min(b.Min.Y, p.Y)
			b.Max.X, b.Max.Y = math.Max(b.Max.X, p.X), math.Max(b.Max.Y, p.Y)
		}
	}
	return b
}

// Holds reports whether p lies in the section: whether the contours wind round
// it (nonzero rule).
func (s *Section) Holds(p r2.Vec) bool {
	wind := 0
	for _, c := range s.Contours {
		for i, a := range c {
			b := c[(i+1)%len(c)]
			if (a.Y <= p.Y) == (b.Y <= p.Y) {
				continue
			}
			if side := (b.X-a.X)*(p.Y-a.Y) - (b.Y-a.Y)*(p.X-a.X); a.Y <= p.Y && side > 0 {
				wind++
			} else if a.Y > p.Y && side < 0 {
				wind--
			}
		}
	}
	return wind != 0
}

func signedArea(c []r2.Vec) float64 {
	sum := 0.0
	for i, p := range c {
		sum += r2.Cross(p, c[(i+1)%len(c)])
	}
	return sum / 2
}
