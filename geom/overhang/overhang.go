// Package overhang judges what a zone lacks under it when it is printed in the
// shells of a field: surfaces that lean out too far (Find) and places where
// a shell begins with nothing under it (MidairStarts).
//
// Both look at a zone's own mesh, in place on the bed and not warped; its base
// (geom/zone) carries it and is never unsupported.
package overhang

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/field"
	"conewright/geom/mesh"
	"conewright/geom/parallel"
	"conewright/geom/zone"
)

// SlackDeg is what a surface may lean out beyond the limit, degrees, before it
// counts as unsupported, so that a surface exactly at the limit passes in spite
// of rounding and of faceting (CONTRACT, "Overhang").
const SlackDeg = 0.5

// Unsupported is what is unsupported of a zone's surface.
type Unsupported struct {
	Area   float64 // mm2, real (unwarped)
	Facets []int32 // unsupported all over, ascending
	Pieces []Piece // of facets that are partly unsupported, by facet
}

// Piece is a convex part of a facet, its corners counter-clockwise seen from
// outside.
type Piece struct {
	Facet   int32
	Corners []r3.Vec
}

// Find returns where n.m < -sin(limitDeg + SlackDeg), n the surface's
// outward normal and m the shell's, on the mesh m of a zone that isn't warped;
// the zone's base is left out. It is exact where shells are planes or the field
// has an apex; elsewhere the border is found to much less than 0.5 mm.
// What lies inside another body of the zone, or on it, isn't unsupported; its
// border is found to leastPart.
func Find(m *mesh.Mesh, f *field.Field, limitDeg float64) Unsupported {
	const chunk = 4096 // facets a piece of work; fixed, so that sums are the same on any machine
	parts := make([]Unsupported, parallel.SpanCount(len(m.Facets), chunk))
	parallel.Spans(len(m.Facets), chunk, func(i, from, to int) {
		j := newJudge(m, f, limitDeg)
		for k := from; k < to; k++ {
			j.facet(int32(k))
		}
		parts[i] = j.found
	})
	var all Unsupported
	for _, p := range parts {
		all.Area += p.Area
		all.Facets = append(all.Facets, p.Facets...)
		all.Pieces = append(all.Pieces, p.Pieces...)
	}
	if len(all.Facets)+len(all.Pieces) > 0 {
		if b := newBodies(m); b != nil {
			return b.exposed(all)
		}
	}
	return all
}

// judge judges facets one by one.
type judge struct {
	mesh  *mesh.Mesh
	field *field.Field
	// How the field is judged: by one normal, in closed form about an apex, or by
	// pieces.
	planes, apex bool
	limit        float64 // unsupported where n.m < -limit
	steep        float64 // sqrt(1 + slope^2), of the steepest shell
	fixed        r3.Vec  // the shell's normal where it is the same everywhere
	axis         r2.Vec  // of a field with an apex: see sharp
	slope        float64 // of that field, signed
	found        Unsupported
	stack        [][3]r3.Vec // work space
}

func newJudge(m *mesh.Mesh, f *field.Field, limitDeg float64) *judge {
	j := &judge{mesh: m, field: f, limit: math.Sin((limitDeg + SlackDeg) * math.Pi / 180)}
	j.steep = math.Sqrt(1 + f.Slope()*f.Slope())
	j.fixed = f.Normal(r2.Vec{})
	j.axis, j.slope, j.apex = f.Apex()
	j.planes = f.Linear()
	return j
}

// facet judges facet i and notes what of it is unsupported.
func (j *judge) facet(i int32) {
	a, b, c := j.mesh.Corners(int(i))
	n := r3.Cross(r3.Sub(b, a), r3.Sub(c, a))
	size := math.Sqrt(n.X*n.X + n.Y*n.Y + n.Z*n.Z)
	if size == 0 {
		return
	}
	if j.planes {
		if r3.Dot(n, j.fixed) < -j.limit*size && !zone.IsBase(j.mesh, int(i)) {
			j.all(i, size/2)
		}
		return
	}
	// The least that n.m can be with any azimuth and any steepness up to the
	// steepest; most facets face up and are done here.
	level := math.Sqrt(n.X*n.X + n.Y*n.Y)
	if j.least(n.Z, level) >= -j.limit*size || zone.IsBase(j.mesh, int(i)) {
		return
	}
	n = r3.Scale(1/size, n)
	if j.apex {
		j.sharp(i, [3]r3.Vec{a, b, c}, n, size/2)
	} else {
		j.pieces(i, [3]r3.Vec{a, b, c}, n, size/2)
	}
}

// least returns the least n.m for a normal (not of length 1) with z and level
// parts as given, over gradients up to the steepest: the smaller of the
// ends, for (z - g level) / sqrt(1 + g^2) has its only extreme inside at
// g = -level / z, where z > 0 makes it a maximum or it isn't reached, and z < 0
// makes it -|n|.
func (j *judge) least(z, level float64) float64 {
	g := j.field.Slope()
	if z < 0 && level <= -z*g {
		return -math.Sqrt(z*z + level*level)
	}
	return math.Min(z, (z-g*level)/j.steep)
}

func (j *judge) all(i int32, area float64) {
	j.found.Area += area
	j.found.Facets = append(j.found.Facets, i)
}

func (j *judge) piece(i int32, corners []r3.Vec) {
	area := 0.0
	for k := 1; k+1 < len(corners); k++ {
		area += math.Sqrt(r3.Norm2(r3.Cross(r3.Sub(corners[k], corners[0]), r3.Sub(corners[k+1], corners[0])))) / 2
	}
	if area == 0 {
		return
	}
	j.found.Area += area
	j.found.Pieces = append(j.found.Pieces, Piece{i, corners})
}
