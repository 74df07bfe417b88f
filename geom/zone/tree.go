package zone

import (
	"context"
	"fmt"

	"conewright/geom/mesh"
	"conewright/geom/message"

	"gonum.org/v1/gonum/spatial/r3"
)

// MaxDepth bounds how deep cuts nest: no part needs more, and a tree from a
// file can't exhaust the stack.
const MaxDepth = 64

// Node is a tree of nested cuts. A leaf has a Name and no Cut; an inner node
// cuts what it is given: Under prints before Over. Only, if it isn't nil, limits
// the cut to the piece that is nearest to that point (CutOnly).
type Node struct {
	Name        string
	Cut         *Plane
	Only        *r3.Vec
	Under, Over *Node
}

// Leaf is a zone: its name and its closed mesh, in place on the bed.
type Leaf struct {
	Name string
	Mesh *mesh.Mesh
}

// Split cuts m by the tree and returns the zones in printing order. A tree of
// one leaf returns m itself. An error says which cut it is about; where a cut
// misses what it is given it wraps a *MissError.
func Split(ctx context.Context, m *mesh.Mesh, tree *Node) ([]Leaf, error) {
	return split(ctx, m, tree, "zones", 0)
}

func split(ctx context.Context, m *mesh.Mesh, n *Node, path string, depth int) ([]Leaf, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if n == nil {
		return nil, fmt.Errorf("%s: a cut needs both under and over", path)
	}
	if n.Cut == nil {
		return []Leaf{{Name: n.Name, Mesh: m}}, nil
	}
	if depth >= MaxDepth {
		return nil, fmt.Errorf("%s: cuts nest deeper than %d", path, MaxDepth)
	}
	under, over, err := n.cut(m)
	if err != nil {
		return nil, message.Errorf("%s: %w", path+".cut", err)
	}
	first, err := split(ctx, under, n.Under, path+".under", depth+1)
	if err != nil {
		return nil, err
	}
	then, err := split(ctx, over, n.Over, path+".over", depth+1)
	if err != nil {
		return nil, err
	}
	return append(first, then...), nil
}

func (n *Node) cut(m *mesh.Mesh) (under, over *mesh.Mesh, err error) {
	if n.Only == nil {
		return Cut(m, *n.Cut)
	}
	return CutOnly(m, *n.Cut, *n.Only)
}
