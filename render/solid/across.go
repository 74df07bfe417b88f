package solid

import "slices"

// AcrossY returns the facets that the plane y = constant goes through, in order:
// those with a corner before it (less y) and one in it or behind.
func (s *Solid) AcrossY(y float64) []int32 {
	if len(s.nodes) == 0 {
		return nil
	}
	var found []int32
	at := float32(y)
	stack := [64]int32{}
	for top := 1; top > 0; {
		top--
		i := stack[top]
		n := &s.nodes[i]
		if n.bounds[1] > at || n.bounds[4] < at { // bounds are rounded outward by more than y may be
			continue
		}
		if n.count == 0 {
			stack[top], stack[top+1] = n.first, i+1
			top += 2
			continue
		}
		for _, f := range s.facets[n.first : n.first+n.count] {
			v := s.Mesh.Facets[f]
			a, b, c := s.Mesh.Vertices[v[0]].Y, s.Mesh.Vertices[v[1]].Y, s.Mesh.Vertices[v[2]].Y
			if min(a, b, c) < y && max(a, b, c) >= y {
				found = append(found, f)
			}
		}
	}
	slices.Sort(found)
	return found
}
