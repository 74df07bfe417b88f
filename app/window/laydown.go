package window

import (
	"math"

	"conewright/geom/job"
	"conewright/geom/mesh"
	"conewright/geom/stance"
	"conewright/i18n"
	"conewright/render/drawing"

	"gonum.org/v1/gonum/spatial/r3"
)

// standing returns the chosen part as it stands, nil where it isn't known.
func (w *Window) standing() *mesh.Mesh {
	if m := w.session.ChosenModel(); m != nil {
		return m.Mesh
	}
	return nil
}

// layDown turns the part so that a side, given by its outward normal as the part
// stands, lies on the bed.
func (w *Window) layDown(normal r3.Vec) {
	w.do("step.laydown", func(s *job.Setup) { s.Part.Turn = stance.LayDown(s.Part.Turn, normal) })
}

// layNext lays the part on the next of the sides on which it stands by itself: of
// the larger ones first, and round again.
func (w *Window) layNext() {
	m := w.standing()
	if m == nil {
		return
	}
	faces := stance.Faces(m)
	next := 0
	for i := range faces {
		if down(faces[i].Normal) {
			next = (i + 1) % len(faces)
		}
	}
	if len(faces) == 0 || down(faces[next].Normal) {
		w.route.open.tell(i18n.T("part.noside"))
		return
	}
	w.route.open.tell("")
	w.layDown(faces[next].Normal)
}

// down reports whether a normal points straight down, within what files are
// rounded to.
func down(normal r3.Vec) bool { return normal.Z < -0.9999 }

// faceAt returns the normal of the facet that is seen at a point of the pictorial
// view, and the part it belongs to; ok is false beside the parts, where the facet lies
// down already, and while they are drawn warped.
func (w *Window) faceAt(p r3.Vec, view drawing.View) (part int, normal r3.Vec, ok bool) {
	f := w.session.Facts()
	frame, drawn := w.sheet.Frame(view)
	if w.standing() == nil || !drawn || view != drawing.Pictorial || w.warp.Value > 0 {
		return 0, normal, false
	}
	i := nearestFacet(f.Model.Mesh, p, frame.Toward)
	if i < 0 {
		return 0, normal, false
	}
	a, b, c := f.Model.Mesh.Corners(i)
	normal = r3.Unit(r3.Cross(r3.Sub(b, a), r3.Sub(c, a)))
	for _, m := range f.Model.Parts() { // whose meshes follow each other in the whole
		if i < len(m.Mesh.Facets) {
			break
		}
		i -= len(m.Mesh.Facets)
		part++
	}
	return part, normal, !down(normal)
}

// nearestFacet returns the facet that one sees first along the line through p, from
// where toward points to; -1: none.
func nearestFacet(m *mesh.Mesh, p, toward r3.Vec) int {
	found, best := -1, math.Inf(-1)
	for i := range m.Facets {
		a, b, c := m.Corners(i)
		a, b, c = r3.Sub(a, p), r3.Sub(b, p), r3.Sub(c, p)
		// The line passes inside where it sees all edges turn the same way.
		u, v, w := r3.Dot(toward, r3.Cross(b, c)), r3.Dot(toward, r3.Cross(c, a)), r3.Dot(toward, r3.Cross(a, b))
		sum := u + v + w
		if u < 0 || v < 0 || w < 0 || sum <= 0 {
			continue // beside it, or its back
		}
		at := r3.Scale(1/sum, r3.Add(r3.Scale(u, a), r3.Add(r3.Scale(v, b), r3.Scale(w, c))))
		if d := r3.Dot(at, toward); d > best {
			found, best = i, d
		}
	}
	return found
}
