package zone

import (
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/mesh"
)

// CutOnly is Cut limited to one piece: over is the connected piece of what lies
// over the plane that is nearest to only; under is all the rest, on either side
// of the plane, and has no cap but where over stood on it. A plane with nothing
// under it parts one whole body from the others.
//
// Which pieces are connected is told by mesh.NearestPiece. The error is
// ErrPlane, or a *MissError where one of the two would be empty.
func CutOnly(m *mesh.Mesh, p Plane, only r3.Vec) (under, over *mesh.Mesh, err error) {
	s, low, high, err := newSplitter(m, p)
	if err != nil {
		return nil, nil, err
	}
	if high <= SnapTol {
		return nil, nil, &MissError{Low: low, High: high}
	}
	s.split()
	s.keepNearest(fillLoops(s.loops(), s.vertices, s.plane), only)
	if len(s.under.facets) == 0 {
		return nil, nil, &MissError{Low: low, High: high}
	}
	return s.under.mesh(s.vertices), s.over.mesh(s.vertices), nil
}

// keepNearest keeps over the plane the piece that is nearest to only, with its
// part of the cap, and gives the other pieces back to what lies under. Those
// keep the vertices where the plane went through them, so that what is under
// stays closed.
func (s *splitter) keepNearest(lid [][3]int32, only r3.Vec) {
	all := s.over
	s.over = soup{}
	closed := &mesh.Mesh{Vertices: s.vertices}
	closed.Facets = append(append(closed.Facets, all.facets...), facedDown(lid)...)
	kept := closed.NearestPiece(only)
	for i, f := range all.facets {
		if kept[i] {
			s.over.add(all.origins[i], f[0], f[1], f[2])
		} else {
			s.under.add(all.origins[i], f[0], f[1], f[2])
		}
	}
	var foot [][3]int32
	for i, f := range lid {
		if kept[len(all.facets)+i] {
			foot = append(foot, f)
		}
	}
	s.addCap(foot)
}

// facedDown returns facets turned over.
func facedDown(lid [][3]int32) [][3]int32 {
	out := make([][3]int32, len(lid))
	for i, t := range lid {
		out[i] = [3]int32{t[0], t[2], t[1]}
	}
	return out
}
