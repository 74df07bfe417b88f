package session

import (
	"context"
	"math"

	"conewright/geom/mesh"
	"conewright/geom/section"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Place is where an axis is likely to belong, on the bed.
type Place struct {
	At   r2.Vec
	Hole bool // the middle of a round hole; else the part's centroid
}

// Bounds of the search for places.
const (
	mostPlaces = 200
	roundFrom  = 0.95 // 4 pi area / perimeter^2: a regular hexagon has 0.91, an octagon 0.95
	samePlace  = 0.05 // mm
)

// holeHeights are where holes are looked for, as shares of the part's height.
var holeHeights = []float64{0.02, 0.2, 0.4, 0.6, 0.8, 0.98}

// places returns the centroid of a part and the middles of its round holes.
func places(ctx context.Context, m *mesh.Mesh) ([]Place, error) {
	box := m.Bounds()
	heights := make([]float64, len(holeHeights))
	for i, share := range holeHeights {
		heights[i] = box.Min.Z + share*(box.Max.Z-box.Min.Z)
	}
	sections, err := section.Sections(ctx, m, heights)
	if err != nil {
		return nil, err
	}
	found := []Place{{At: centroid(m)}}
	for _, s := range sections {
		for _, c := range s.Contours {
			if at, ok := roundHole(c); ok && len(found) < mostPlaces && !known(found, at) {
				found = append(found, Place{at, true})
			}
		}
	}
	return found, nil
}

func known(places []Place, at r2.Vec) bool {
	for _, p := range places {
		if p.Hole && r2.Norm(r2.Sub(p.At, at)) < samePlace {
			return true
		}
	}
	return false
}

// roundHole returns the middle of a contour that is a hole, clockwise, and as
// round as a circle drawn in facets.
func roundHole(c []r2.Vec) (r2.Vec, bool) {
	one := section.Section{Contours: [][]r2.Vec{c}}
	area, length := -one.Area(), 0.0
	for i, p := range c {
		length += r2.Norm(r2.Sub(c[(i+1)%len(c)], p))
	}
	if area <= 0 || 4*math.Pi*area < roundFrom*length*length {
		return r2.Vec{}, false
	}
	return one.Centroid(), true
}

// centroid returns the middle of the part's volume in plan, that of its bounds
// where it has none (divergence theorem over tetrahedra from the bounds' middle).
func centroid(m *mesh.Mesh) r2.Vec {
	box := m.Bounds()
	o := r3.Scale(0.5, r3.Add(box.Min, box.Max))
	var moment r3.Vec
	volume := 0.0
	for i := range m.Facets {
		a, b, c := m.Corners(i)
		a, b, c = r3.Sub(a, o), r3.Sub(b, o), r3.Sub(c, o)
		v := r3.Dot(a, r3.Cross(b, c))
		volume += v
		moment = r3.Add(moment, r3.Scale(v/4, r3.Add(a, r3.Add(b, c))))
	}
	if !(volume > 0) {
		return r2.Vec{X: o.X, Y: o.Y}
	}
	return r2.Vec{X: o.X + moment.X/volume, Y: o.Y + moment.Y/volume}
}
