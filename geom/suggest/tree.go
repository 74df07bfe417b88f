package suggest

import (
	"fmt"
)

// tree makes zones of a stack, from slab k on.
func (s *search) tree(path []choice, k int) *Node {
	slab := s.node(path[k], name(k, len(path)))
	if k == 0 && len(path) > 1 && path[0].to == 1 && slab.Cut == nil && slab.Field.Kind == Level && s.heights[1] <= s.heights[0]+1.5*footShells*s.options.Shell {
		slab.Name = footName
	}
	if k == len(path)-1 {
		return slab
	}
	cut := s.plane(path[k].to)
	return &Node{Cut: &cut, Under: slab, Over: s.tree(path, k+1)}
}

// node makes a zone of a choice, or several of towers, side by side.
func (s *search) node(c choice, name string) *Node {
	if c.field >= 0 {
		return &Node{Name: name, Field: s.fields[c.field]}
	}
	n := 0
	var make func(t *tower) *Node
	make = func(t *tower) *Node {
		if t.cut != nil {
			return &Node{Cut: t.cut, Under: make(t.under), Over: make(t.over)}
		}
		n++
		return &Node{Name: fmt.Sprintf("%s-%d", name, n), Field: t.field}
	}
	return make(s.towers[-1-c.field].root)
}

// footName names a level zone of a few shells on the bed.
const footName = "foot"

// name names slab k of n.
func name(k, n int) string {
	switch {
	case n == 1:
		return "part"
	case k == 0:
		return "lower"
	case k == n-1:
		return "upper"
	case n == 3:
		return "middle"
	}
	return fmt.Sprintf("middle-%d", k)
}
