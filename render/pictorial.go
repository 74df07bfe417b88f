package render

import (
	"math"

	"conewright/geom/mesh"
	"conewright/render/drawing"
	"conewright/render/hidden"
	"conewright/render/solid"

	"github.com/fogleman/ln/ln"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

func (s *sketch) pictorial(m *model, f drawing.ViewFrame, lines spaceLines) {
	s.drawing.Frames = append(s.drawing.Frames, f)
	s.spaceLines(&f, lines)
	s.paths(&f, style{pen: drawing.Cut}, lines.cuts)
	tone := drawing.Ink
	if s.in.Options.Selected.Kind == drawing.AxisItem {
		tone = drawing.Accent
	}
	s.paths(&f, style{pen: drawing.Axis, tone: tone}, lines.axes)
	s.marks(&f)
	s.beads(&f, allBeads)
	s.head(&f)
	s.title(&f, s.in.Texts.Pictorial)
}

// Segments of beads that are drawn, newest first: more can't be told apart.
const (
	recentBeads = 3_000
	allBeads    = 60_000
)

// beads draws the newest beads, no more than most segments.
func (s *sketch) beads(f *drawing.ViewFrame, most int) {
	first := len(s.in.Beads)
	for first > 0 && most > 0 {
		first--
		most -= len(s.in.Beads[first])
	}
	for _, b := range s.in.Beads[first:] {
		s.curve(f, style{pen: drawing.Bead}, b...)
	}
}

// headSides is how many sides stand for the head's round body.
const headSides = 48

// head draws the outline of the head in its place.
func (s *sketch) head(f *drawing.ViewFrame) {
	if s.in.Head == nil || len(s.in.Head.Shape.Profile) == 0 {
		return
	}
	body := solid.New(headMesh(s.in.Head))
	g := newGrain(f.Scale, body.Size())
	look := hidden.Look{Toward: f.Toward, Step: g.step, Precision: g.precision}
	var outline ln.Paths
	for _, p := range hidden.Split(body, chainPaths(body.Outline(f.Toward)), look) {
		outline = append(outline, p.Visible...)
	}
	s.paths(f, style{pen: drawing.Head}, outline)
}

// headMesh returns the profile turned about the nozzle's axis, at the tip,
// leaning toward the azimuth.
func headMesh(h *Head) *mesh.Mesh {
	tilt := h.Shape.Tilt * math.Pi / 180
	st, ct := math.Sincos(tilt)
	sa, ca := math.Sincos(h.Azimuth)
	axis := r3.Vec{X: st * ca, Y: st * sa, Z: ct}
	u := r3.Vec{X: -sa, Y: ca}
	v := r3.Cross(axis, u)
	m := &mesh.Mesh{}
	profile := h.Shape.Profile
	ring := func(d, radius float64) {
		for i := range headSides {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / headSides)
			p := r3.Add(h.Tip, r3.Scale(d, axis))
			m.Vertices = append(m.Vertices, r3.Add(p, r3.Add(r3.Scale(radius*cos, u), r3.Scale(radius*sin, v))))
		}
	}
	for _, p := range profile {
		ring(p[0], p[1])
	}
	last := int32(len(profile)-1) * headSides
	for i := int32(0); i < headSides; i++ {
		j := (i + 1) % headSides
		for k := int32(0); k < last; k += headSides {
			m.Facets = append(m.Facets, [3]int32{k + i, k + j, k + headSides + j}, [3]int32{k + i, k + headSides + j, k + headSides + i})
		}
		if i > 0 && j > 0 {
			m.Facets = append(m.Facets, [3]int32{0, j, i}, [3]int32{last, last + i, last + j})
		}
	}
	return m
}

// unitAt returns the direction of an azimuth on paper, seen from above.
func unitAt(azimuth float64) r2.Vec {
	sin, cos := math.Sincos(azimuth)
	return r2.Vec{X: cos, Y: -sin}
}
