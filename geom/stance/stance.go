// Package stance finds the flat faces on which a part can stand on the bed, and
// the turns that lay a face down.
//
// Lengths are mm, angles degrees.
package stance

import (
	"math"
	"slices"

	"conewright/geom/mesh"
	"conewright/geom/polygon"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Face is a way to stand: the flat side that lies on the bed.
type Face struct {
	Normal  r3.Vec  // outward unit normal of the side, in the mesh's frame
	Contact float64 // area of the facets that lie on the bed, mm2
	Margin  float64 // how far the centre of mass lies inside the outline of what touches the bed, mm
}

const (
	// sameNormal is the cosine of the angle within which facets belong to one flat
	// side: half a degree, more than files of flat sides are rounded.
	sameNormal = 0.99996
	// onBed is how far from the lowest plane a facet still touches the bed, mm.
	onBed = 0.02
	// leastContact is the least share of the part's surface that a side needs: less
	// doesn't hold a print.
	leastContact = 0.002
	// leastMargin is the least distance of the centre of mass from the outline, as a
	// share of the part's height over that side: a part of less falls over when it
	// is touched (common practice, no source).
	leastMargin = 0.05
	// mostSides bounds the flat sides that are looked at, the largest first.
	mostSides = 64
)

// Faces returns the sides on which a closed part stands stably, the one with the
// greatest contact first. A part without flat sides has none.
func Faces(m *mesh.Mesh) []Face {
	centre := centreOfMass(m)
	area := m.Area()
	var faces []Face
	for _, side := range sides(m) {
		if side.area < leastContact*area {
			break
		}
		if f, ok := stand(m, side.normal, centre); ok && f.Contact >= leastContact*area {
			faces = append(faces, f)
		}
	}
	slices.SortStableFunc(faces, func(a, b Face) int {
		switch {
		case a.Contact > b.Contact:
			return -1
		case a.Contact < b.Contact:
			return 1
		}
		return 0
	})
	return faces
}

// side is a set of facets of one direction.
type side struct {
	normal r3.Vec
	area   float64
}

// sides returns the directions of the part's facets with their areas, the largest
// first.
func sides(m *mesh.Mesh) []side {
	type bin [3]int16
	const perUnit = 64 // bins of about a degree; neighbours are joined below
	byBin := map[bin]r3.Vec{}
	for i := range m.Facets {
		a, b, c := corners(m, i)
		n := r3.Scale(0.5, r3.Cross(r3.Sub(b, a), r3.Sub(c, a)))
		length := r3.Norm(n)
		if length == 0 {
			continue
		}
		k := bin{int16(math.Round(n.X / length * perUnit)), int16(math.Round(n.Y / length * perUnit)), int16(math.Round(n.Z / length * perUnit))}
		byBin[k] = r3.Add(byBin[k], n)
	}
	keys := make([]bin, 0, len(byBin))
	for k := range byBin {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, func(a, b bin) int {
		if d := r3.Norm(byBin[b]) - r3.Norm(byBin[a]); d != 0 {
			return int(math.Copysign(1, d))
		}
		return slices.Compare(a[:], b[:])
	})
	var all []side
	for _, k := range keys {
		n := byBin[k]
		area := r3.Norm(n)
		if area == 0 {
			continue
		}
		unit := r3.Scale(1/area, n)
		at := slices.IndexFunc(all, func(s side) bool { return r3.Dot(s.normal, unit) >= sameNormal })
		if at >= 0 {
			all[at].area += area
		} else if len(all) < mostSides {
			all = append(all, side{unit, area})
		}
	}
	slices.SortStableFunc(all, func(a, b side) int { return int(math.Copysign(1, b.area-a.area)) })
	return all
}

// stand returns the face of a direction; ok is false where the part would fall over
// or nothing flat of that direction is lowest.
func stand(m *mesh.Mesh, normal, centre r3.Vec) (f Face, ok bool) {
	f.Normal = normal
	low, high := math.Inf(-1), math.Inf(1) // along the normal: low is the bed
	for _, v := range m.Vertices {
		d := r3.Dot(v, normal)
		low, high = math.Max(low, d), math.Min(high, d)
	}
	across := r3.Unit(r3.Cross(normal, axisAcross(normal)))
	up := r3.Cross(normal, across)
	var touch []r2.Vec
	for i := range m.Facets {
		a, b, c := corners(m, i)
		if min(r3.Dot(a, normal), r3.Dot(b, normal), r3.Dot(c, normal)) < low-onBed {
			continue
		}
		f.Contact += r3.Norm(r3.Cross(r3.Sub(b, a), r3.Sub(c, a))) / 2
		for _, v := range [3]r3.Vec{a, b, c} {
			touch = append(touch, r2.Vec{X: r3.Dot(v, across), Y: r3.Dot(v, up)})
		}
	}
	outline := hull(touch)
	at := r2.Vec{X: r3.Dot(centre, across), Y: r3.Dot(centre, up)}
	if len(outline) < 3 || !polygon.ContourContains(outline, at) {
		return f, false
	}
	f.Margin = math.Inf(1)
	for i := range outline {
		f.Margin = math.Min(f.Margin, polygon.SegmentDistance(at, outline[i], outline[polygon.Next(i, len(outline))]))
	}
	return f, f.Margin >= leastMargin*(low-high)
}

func corners(m *mesh.Mesh, i int) (a, b, c r3.Vec) {
	f := m.Facets[i]
	return m.Vertices[f[0]], m.Vertices[f[1]], m.Vertices[f[2]]
}

// axisAcross returns the unit axis that stands most square to v.
func axisAcross(v r3.Vec) r3.Vec {
	if math.Abs(v.X) < 0.6 {
		return r3.Vec{X: 1}
	}
	return r3.Vec{Y: 1}
}

// centreOfMass returns the centre of a closed part: of its tetrahedra over a corner
// of its box, weighted by volume (the divergence theorem).
func centreOfMass(m *mesh.Mesh) r3.Vec {
	o := m.Bounds().Min
	var sum r3.Vec
	volume := 0.0
	for i := range m.Facets {
		a, b, c := corners(m, i)
		a, b, c = r3.Sub(a, o), r3.Sub(b, o), r3.Sub(c, o)
		v := r3.Dot(a, r3.Cross(b, c))
		volume += v
		sum = r3.Add(sum, r3.Scale(v/4, r3.Add(a, r3.Add(b, c))))
	}
	if volume == 0 {
		return m.Bounds().Center()
	}
	return r3.Add(o, r3.Scale(1/volume, sum))
}

// hull returns the convex outline of points, counter-clockwise (Andrew's monotone
// chain, 1979, from memory).
func hull(points []r2.Vec) []r2.Vec {
	slices.SortFunc(points, func(a, b r2.Vec) int {
		switch {
		case a.X != b.X:
			return int(math.Copysign(1, a.X-b.X))
		case a.Y != b.Y:
			return int(math.Copysign(1, a.Y-b.Y))
		}
		return 0
	})
	points = slices.Compact(points)
	if len(points) < 3 {
		return points
	}
	half := func(points []r2.Vec) (chain []r2.Vec) {
		for _, p := range points {
			for len(chain) >= 2 && r2.Cross(r2.Sub(chain[len(chain)-1], chain[len(chain)-2]), r2.Sub(p, chain[len(chain)-1])) <= 0 {
				chain = chain[:len(chain)-1]
			}
			chain = append(chain, p)
		}
		return chain[:len(chain)-1]
	}
	lower := half(points)
	slices.Reverse(points)
	return append(lower, half(points)...)
}
