package mesh

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Moved returns a copy with every vertex mapped. Facets and origins are
// shared, since nothing changes them.
func (m *Mesh) Moved(f func(r3.Vec) r3.Vec) *Mesh {
	out := &Mesh{Vertices: make([]r3.Vec, len(m.Vertices)), Facets: m.Facets, Origins: m.Origins}
	for i, v := range m.Vertices {
		out.Vertices[i] = f(v)
	}
	return out
}

// Translate returns the mesh moved by d.
func (m *Mesh) Translate(d r3.Vec) *Mesh {
	return m.Moved(func(v r3.Vec) r3.Vec { return r3.Add(v, d) })
}

// Scale returns the mesh scaled by k > 0 about the origin.
func (m *Mesh) Scale(k float64) *Mesh {
	return m.Moved(func(v r3.Vec) r3.Vec { return r3.Scale(k, v) })
}

// Turn returns the mesh turned about the axes through the origin: by deg[0]
// degrees about x, then deg[1] about y, then deg[2] about z, each
// counter-clockwise seen against the axis. Right angles are exact.
func (m *Mesh) Turn(deg [3]float64) *Mesh {
	if deg == [3]float64{} {
		return m
	}
	sx, cx := sincosDeg(deg[0])
	sy, cy := sincosDeg(deg[1])
	sz, cz := sincosDeg(deg[2])
	return m.Moved(func(v r3.Vec) r3.Vec {
		v.Y, v.Z = v.Y*cx-v.Z*sx, v.Y*sx+v.Z*cx
		v.Z, v.X = v.Z*cy-v.X*sy, v.Z*sy+v.X*cy
		v.X, v.Y = v.X*cz-v.Y*sz, v.X*sz+v.Y*cz
		return v
	})
}

// sincosDeg is exact for multiples of 90 degrees.
func sincosDeg(deg float64) (sin, cos float64) {
	deg = math.Mod(deg, 360)
	quarter := math.RoundToEven(deg / 90)
	sin, cos = math.Sincos((deg - 90*quarter) * math.Pi / 180)
	for range (int(quarter) + 4) % 4 {
		sin, cos = cos, -sin
	}
	return sin, cos
}

// Seat returns the mesh standing on the bed: the centre of its bounding box at
// x, y, its lowest point at z = 0.
func (m *Mesh) Seat(x, y float64) *Mesh {
	box := m.Bounds()
	return m.Translate(r3.Vec{
		X: x - (box.Min.X+box.Max.X)/2,
		Y: y - (box.Min.Y+box.Max.Y)/2,
		Z: -box.Min.Z,
	})
}
