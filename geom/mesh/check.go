package mesh

import "conewright/geom/message"

// Health counts what is wrong with a mesh. All zero but Bodies means sound.
type Health struct {
	OpenEdges        int // edges of one facet
	NonManifoldEdges int // edges of three facets or more
	Flipped          int // facets that look the wrong way (see Mend)
	Degenerate       int // facets of which two corners are the same vertex
	Doubled          int // facets too many on the same three corners
	Bodies           int // pieces that hang together by edges of two facets
}

// Sound reports that the mesh is a closed, well turned surface: every edge has
// exactly two facets.
func (h Health) Sound() bool {
	h.Bodies = 0
	return h == Health{}
}

func (h Health) String() string {
	return counts([]count{
		{h.OpenEdges, "open edges"}, {h.NonManifoldEdges, "edges of more than two facets"},
		{h.Flipped, "facets turned the wrong way"}, {h.Degenerate, "degenerate facets"},
		{h.Doubled, "doubled facets"}, {h.Bodies, "bodies"},
	}).String()
}

type count struct {
	n    int
	what string
}

// counts lists what isn't zero.
func counts(list []count) message.Text {
	var parts []message.Text
	for _, c := range list {
		if c.n != 0 {
			parts = append(parts, message.New("%d "+c.what, c.n))
		}
	}
	return message.Join(", ", parts...)
}

// Check examines the mesh as it is, by its indices: weld first.
func (m *Mesh) Check() Health {
	adj := m.Adjacent()
	h := Health{OpenEdges: adj.OpenEdges, NonManifoldEdges: adj.NonManifoldEdges, Doubled: len(m.doubled())}
	for _, f := range m.Facets {
		if degenerate(f) {
			h.Degenerate++
		}
	}
	b := m.bodies(adj)
	h.Bodies = len(b.list)
	for _, t := range b.turned {
		if t {
			h.Flipped++
		}
	}
	return h
}
