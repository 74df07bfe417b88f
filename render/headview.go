package render

import (
	"math"

	"conewright/geom/machine"
	"conewright/geom/mesh"
	"conewright/render/drawing"
	"conewright/render/hidden"
	"conewright/render/solid"

	"github.com/fogleman/ln/ln"
	"gonum.org/v1/gonum/spatial/r3"
)

// headSides is how many sides stand for the head's round body.
const headSides = 48

// head draws the outline of the head in its place.
func (s *sketch) head(f *drawing.ViewFrame) {
	if s.in.Head == nil || len(s.in.Head.Shape.Profile) == 0 || s.in.Warp > 0 { // the head knows no warped part
		return
	}
	body := solid.New(headMesh(s.in.Head))
	g := newSampling(f.Scale, body.Size())
	look := hidden.Look{Toward: f.Toward, Step: g.step, Precision: g.precision}
	var outline ln.Paths
	for _, p := range hidden.Split(body, chainPaths(body.Outline(f.Toward)), look) {
		outline = append(outline, p.Visible...)
	}
	s.paths(f, style{pen: drawing.Head}, outline)
}

// headMesh returns the head in its place: the profile turned about the nozzle's
// axis, at the tip, leaning toward the azimuth, and the boxes that swivel with it.
func headMesh(h *Head) *mesh.Mesh {
	m := &mesh.Mesh{}
	addProfile(m, h)
	sa, ca := math.Sincos(h.Azimuth)
	for _, b := range h.Shape.Boxes[:min(len(h.Shape.Boxes), mostBoxes)] {
		addBox(m, b, func(x, y, z float64) r3.Vec {
			return r3.Add(h.Tip, r3.Vec{X: x*ca - y*sa, Y: x*sa + y*ca, Z: z})
		})
	}
	return m
}

// mostBoxes bounds the boxes that are drawn of a head.
const mostBoxes = 64

func addProfile(m *mesh.Mesh, h *Head) {
	st, ct := math.Sincos(h.Shape.Tilt * math.Pi / 180)
	sa, ca := math.Sincos(h.Azimuth)
	axis := r3.Vec{X: st * ca, Y: st * sa, Z: ct}
	u := r3.Vec{X: -sa, Y: ca}
	v := r3.Cross(axis, u)
	for _, p := range h.Shape.Profile {
		for i := range headSides {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / headSides)
			at := r3.Add(h.Tip, r3.Scale(p[0], axis))
			m.Vertices = append(m.Vertices, r3.Add(at, r3.Add(r3.Scale(p[1]*cos, u), r3.Scale(p[1]*sin, v))))
		}
	}
	last := int32(len(h.Shape.Profile)-1) * headSides
	for i := int32(0); i < headSides; i++ {
		j := (i + 1) % headSides
		for k := int32(0); k < last; k += headSides {
			m.Facets = append(m.Facets, [3]int32{k + i, k + j, k + headSides + j}, [3]int32{k + i, k + headSides + j, k + headSides + i})
		}
		if i > 0 && j > 0 {
			m.Facets = append(m.Facets, [3]int32{0, j, i}, [3]int32{last, last + i, last + j})
		}
	}
}

// addBox adds a box whose corners are put in place.
func addBox(m *mesh.Mesh, b machine.Box, place func(x, y, z float64) r3.Vec) {
	base := int32(len(m.Vertices))
	for i := range 8 {
		p := b.Min
		for a := range 3 {
			if i>>a&1 > 0 {
				p[a] = b.Max[a]
			}
		}
		m.Vertices = append(m.Vertices, place(p[0], p[1], p[2]))
	}
	for _, q := range [][4]int32{{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4}, {1, 3, 7, 5}, {3, 2, 6, 7}, {2, 0, 4, 6}} {
		m.Facets = append(m.Facets, [3]int32{base + q[0], base + q[1], base + q[2]}, [3]int32{base + q[0], base + q[2], base + q[3]})
	}
}
