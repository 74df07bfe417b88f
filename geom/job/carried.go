package job

import (
	"slices"

	"conewright/geom/mesh"
	"conewright/geom/overhang"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"
)

// Carried returns a model of s, and its regions, as they stand in another setup whose
// parts were only moved, or turned about z, since: what lies on them moves with them,
// and nothing is worked out anew. It serves to show a part while it is dragged. What
// changed otherwise stays as it is. Neither m nor the regions are changed; regions
// that moved have no warped meshes.
func (s *Setup) Carried(to *Setup, m *Model, regions []*Region) (*Model, []*Region) {
	was, is, parts := s.Single(), to.Single(), m.Parts()
	if len(was) != len(is) || len(parts) != len(is) {
		return m, regions
	}
	carried, moved := slices.Clone(parts), false
	next := slices.Clone(regions)
	for i, zone := 0, 0; i < len(is); i++ {
		zones := len(was[i].Zones.Leaves())
		if f := was[i].Part.carriedTo(&is[i].Part, parts[i].Mesh); f != nil {
			moved = true
			part := *parts[i]
			part.Mesh = part.Mesh.Moved(f)
			carried[i] = &part
			for k := zone; k < min(zone+zones, len(next)); k++ {
				next[k] = next[k].carried(f)
			}
		}
		zone += zones
	}
	switch {
	case !moved:
		return m, regions
	case len(m.parts) == 0:
		return carried[0], next
	}
	whole := *m
	whole.parts, whole.Mesh = carried, joinedMesh(carried)
	return &whole, next
}

// carriedTo returns where the points of a part go when it stands as another does; nil
// where it stays, or differs in more than its seat and its turn about z. m is the part
// as it stands.
func (p *Part) carriedTo(to *Part, m *mesh.Mesh) func(r3.Vec) r3.Vec {
	if p.File != to.File || p.Unit != to.Unit || p.Turn[0] != to.Turn[0] || p.Turn[1] != to.Turn[1] ||
		*p.Seat == *to.Seat && p.Turn[2] == to.Turn[2] {
		return nil
	}
	by := r2.Vec{X: to.Seat[0] - p.Seat[0], Y: to.Seat[1] - p.Seat[1]}
	turn := func(q r2.Vec) r2.Vec { return q }
	if p.Turn[2] != to.Turn[2] {
		turn = p.turned(m, to.Turn[2]-p.Turn[2])
	}
	return func(v r3.Vec) r3.Vec {
		q := r2.Add(turn(r2.Vec{X: v.X, Y: v.Y}), by)
		return r3.Vec{X: q.X, Y: q.Y, Z: v.Z}
	}
}

// carried returns a region whose points are moved by f.
func (r *Region) carried(f func(r3.Vec) r3.Vec) *Region {
	next := *r
	next.Mesh = r.Mesh.Moved(f)
	next.Refined, next.Warped, next.Base = nil, nil, nil
	if r.Judged != nil {
		next.Judged = r.Judged.carried(f)
	}
	return &next
}

func (j *Judgement) carried(f func(r3.Vec) r3.Vec) *Judgement {
	next := *j
	next.Overhang.Pieces = carriedPieces(j.Overhang.Pieces, f)
	next.Starts = slices.Clone(j.Starts)
	for i := range next.Starts {
		next.Starts[i].At = f(next.Starts[i].At)
	}
	next.Patches = slices.Clone(j.Patches)
	for i := range next.Patches {
		p := &next.Patches[i]
		p.At, p.Bridges, p.Ends = f(p.At), carriedPieces(p.Bridges, f), carriedPieces(p.Ends, f)
	}
	return &next
}

func carriedPieces(pieces []overhang.Piece, f func(r3.Vec) r3.Vec) []overhang.Piece {
	next := slices.Clone(pieces)
	for i := range next {
		next[i].Corners = slices.Clone(next[i].Corners)
		for k, c := range next[i].Corners {
			next[i].Corners[k] = f(c)
		}
	}
	return next
}
