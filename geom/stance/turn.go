package stance

import (
	"math"

	"conewright/geom/mesh"

	"gonum.org/v1/gonum/spatial/r3"
)

// LayDown returns the turn that a job's part needs (degrees about x, then y, then
// z, as mesh.Turn takes them) so that a side of the part as it is turned now points
// straight down: turn is that of now, normal the side's outward normal then. The
// part is tipped over the shortest way.
func LayDown(turn [3]float64, normal r3.Vec) [3]float64 {
	normal = r3.Unit(normal)
	about := r3.Cross(normal, r3.Vec{Z: -1})
	sin, cos := r3.Norm(about), -normal.Z
	if sin < 1e-9 { // points up or down already
		about = r3.Vec{X: 1}
		sin = 0
	} else {
		about = r3.Scale(1/sin, about)
	}
	var columns [3]r3.Vec
	for i, axis := range [3]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}} {
		columns[i] = about3(turned(axis, turn), about, sin, cos)
	}
	return anglesOf(columns)
}

// turned returns a direction of the file as the part's turn leaves it.
func turned(v r3.Vec, turn [3]float64) r3.Vec {
	m := mesh.Mesh{Vertices: []r3.Vec{v}}
	return m.Turn(turn).Vertices[0]
}

// about3 turns v about a unit vector by the angle of a sine and cosine (Rodrigues'
// formula).
func about3(v, about r3.Vec, sin, cos float64) r3.Vec {
	along := r3.Scale((1-cos)*r3.Dot(about, v), about)
	return r3.Add(r3.Add(r3.Scale(cos, v), r3.Scale(sin, r3.Cross(about, v))), along)
}

// anglesOf returns the angles about x, then y, then z, degrees, of the rotation that
// brings the axes onto the given columns: R = Rz Ry Rx, so that
// R31 = -sin y, R32 / R33 = tan x, R21 / R11 = tan z.
func anglesOf(c [3]r3.Vec) [3]float64 {
	y := math.Asin(math.Max(-1, math.Min(1, -c[0].Z)))
	x, z := math.Atan2(c[1].Z, c[2].Z), math.Atan2(c[0].Y, c[0].X)
	if math.Abs(c[0].Z) > 1-1e-12 { // y is a right angle: x and z turn about one line
		x, z = math.Atan2(-c[2].Y, c[1].Y), 0
	}
	var deg [3]float64
	for i, a := range [3]float64{x, y, z} {
		deg[i] = math.Round(a*180/math.Pi*1e6)/1e6 + 0 // + 0: no minus zero
	}
	return deg
}
