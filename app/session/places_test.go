package session

import (
	"context"
	"math"
	"testing"

	"conewright/geom/mesh"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// pierced is a plate of 40 x 20 x 5 mm about (0, 0) with a hole of n sides and
// 3 mm radius through it at (8, 2): two rings of the same number of corners,
// joined in strips.
func pierced(n int) *mesh.Mesh {
	m := &mesh.Mesh{}
	for _, z := range []float64{0, 5} {
		for i := range n {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(n))
			m.Vertices = append(m.Vertices, r3.Vec{X: 8 + 3*cos, Y: 2 + 3*sin, Z: z})
			k := 1 / math.Max(math.Abs(cos)/20, math.Abs(sin)/10) // on the plate's border
			m.Vertices = append(m.Vertices, r3.Vec{X: k * cos, Y: k * sin, Z: z})
		}
	}
	quad := func(a, b, c, d int) {
		m.Facets = append(m.Facets, [3]int32{int32(a), int32(b), int32(c)}, [3]int32{int32(a), int32(c), int32(d)})
	}
	for i := range n {
		in, out, in2, out2 := 2*i, 2*i+1, 2*((i+1)%n), 2*((i+1)%n)+1
		up := 2 * n
		quad(in, in2, out2, out)             // under
		quad(in+up, out+up, out2+up, in2+up) // top
		quad(out, out2, out2+up, out+up)     // outside
		quad(in2, in, in+up, in2+up)         // the hole
	}
	return m
}

func TestPlacesAreTheCentroidAndRoundHoles(t *testing.T) {
	m := pierced(48)
	if m.Volume() <= 0 {
		t.Fatal("the plate is inside out")
	}
	found, err := places(context.Background(), m)
	if err != nil {
		t.Fatal(err)
	}
	if len(found) != 2 || !found[1].Hole || r2.Norm(r2.Sub(found[1].At, r2.Vec{X: 8, Y: 2})) > 1e-6 {
		t.Fatalf("found %v", found)
	}
	// the centroid moves away from the hole by its share of the area
	hole := math.Pi * 9
	plate := m.Volume()/5 + hole
	want := r2.Scale(-hole/(plate-hole), r2.Vec{X: 8, Y: 2})
	if r2.Norm(r2.Sub(found[0].At, want)) > 0.05 {
		t.Errorf("the centroid is at %v, not %v", found[0].At, want)
	}
	if found, _ = places(context.Background(), pierced(4)); len(found) != 1 {
		t.Errorf("a square hole passes for round: %v", found)
	}
}
