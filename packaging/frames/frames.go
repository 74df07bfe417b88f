// Package frames makes the parts with which packaging/frames.sh measures how
// quickly the window draws.
package frames

import (
	"bytes"
	"context"
	"fmt"
	"math"

	"conewright/geom/mesh"
	"conewright/packaging/madeparts"

	"gonum.org/v1/gonum/spatial/r3"
)

// Part returns a closed part by its name, of about so many facets:
//
//	ring    much of it hides other parts of it, and no two views are alike
//	gyroid  a block of curved walls and holes all through (A. Schoen, NASA TN
//	        D-5541, 1970; here by its usual approximation in sines)
//	figure  a smooth body with limbs
func Part(name string, facets int) (*mesh.Mesh, error) {
	switch name {
	case "ring":
		return ringOf(facets), nil
	case "gyroid":
		return welded(gyroid(), r3.Vec{X: -21, Y: -21}, r3.Vec{X: 21, Y: 21, Z: 41}, 456/math.Sqrt(float64(facets)))
	case "figure":
		return welded(figure(), r3.Vec{X: -26, Y: -26}, r3.Vec{X: 26, Y: 26, Z: 42}, 131/math.Sqrt(float64(facets)))
	}
	return nil, fmt.Errorf("frames: no part %q", name)
}

func welded(s madeparts.Shape, low, high r3.Vec, step float64) (*mesh.Mesh, error) {
	var file bytes.Buffer
	if err := madeparts.Surface(s, low, high, step).Write(&file); err != nil {
		return nil, err
	}
	m, _, err := mesh.Read(context.Background(), bytes.NewReader(file.Bytes()), int64(file.Len()), "part.stl", mesh.ReadOptions{})
	return m, err
}

// gyroid is a block 40 mm wide.
func gyroid() madeparts.Shape {
	const wave, wall = 18.5, 2.4 // mm
	k := 2 * math.Pi / wave
	block := madeparts.Block(r3.Vec{X: -20, Y: -20, Z: -1}, r3.Vec{X: 20, Y: 20, Z: 40}, 0)
	return func(p r3.Vec) float64 {
		sx, cx := math.Sincos(k * p.X)
		sy, cy := math.Sincos(k * p.Y)
		sz, cz := math.Sincos(k * p.Z)
		return math.Max(math.Abs(sx*cy+sy*cz+sz*cx)/k/1.5-wall/2, block(p)) // about mm
	}
}

// figure stands, with a staff in its hand.
func figure() madeparts.Shape {
	v := func(x, y, z float64) r3.Vec { return r3.Vec{X: x, Y: y, Z: z} }
	return madeparts.Blend(2,
		madeparts.Limb(v(-6, 0, -2), v(-2, 0, 14), 3.5, 3.5), madeparts.Limb(v(6, 2, -2), v(2, 0, 14), 3.5, 3.5),
		madeparts.Limb(v(0, 0, 14), v(1, 0, 27), 5.5, 4.5), madeparts.Ball(v(1, -1, 34), 4.5),
		madeparts.Limb(v(1, 0, 27), v(12, 2, 21), 2.5, 2), madeparts.Limb(v(12, 2, 21), v(15, -6, 25), 2, 2),
		madeparts.Limb(v(1, 0, 27), v(-11, 0, 24), 2.5, 2), madeparts.Limb(v(15, -6, -1), v(15, -6, 38), 1.5, 1.2))
}

// Size of the ring, mm.
const (
	ring  = 35. // radius of its middle
	thick = 14. // of the tube
	waves = 3.  // it rises and falls so often on its way round
	wave  = 8.  // by so much
)

// ringOf returns a wavy ring with ribs.
func ringOf(facets int) *mesh.Mesh {
	sides := max(int(math.Sqrt(float64(facets)/4)), 3)
	rings := max(facets/(2*sides), 3)
	m := &mesh.Mesh{}
	for i := range rings {
		for k := range sides {
			t := 2 * math.Pi * float64(i) / float64(rings)
			m.Vertices = append(m.Vertices, at(t, 2*math.Pi*float64(k)/float64(sides)))
		}
	}
	vertex := func(i, k int) int32 { return int32(i%rings*sides + k%sides) }
	for i := range rings {
		for k := range sides {
			m.Facets = append(m.Facets,
				[3]int32{vertex(i, k), vertex(i+1, k), vertex(i+1, k+1)},
				[3]int32{vertex(i, k), vertex(i+1, k+1), vertex(i, k+1)})
		}
	}
	return m
}

// at returns the point at the angle t of the ring and u of the tube.
func at(t, u float64) r3.Vec {
	r := thick * (1 + 0.17*math.Sin(7*t)*math.Cos(3*u))
	q := ring + r*math.Cos(u)
	return r3.Vec{X: q * math.Cos(t), Y: q * math.Sin(t), Z: r*math.Sin(u) + wave*math.Sin(waves*t)}
}
