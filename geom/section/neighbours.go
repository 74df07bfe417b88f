package section

import (
	"cmp"
	"slices"

	"conewright/geom/mesh"
)

// neighbours returns for every side of a facet (3 i + k) the facet across that
// runs along it the other way, or -1. Where more than two facets meet in an
// edge they are paired in their order, so that curves never end there; open
// tells whether any side has no partner.
func neighbours(m *mesh.Mesh) (across []int32, open bool) {
	starts, sides := sidesByLowerVertex(m)
	across = make([]int32, len(sides))
	for v := range m.Vertices {
		group := sides[starts[v]:starts[v+1]]
		slices.SortFunc(group, func(g, h side) int {
			return cmp.Or(cmp.Compare(g.upper, h.upper), cmp.Compare(g.at, h.at))
		})
		for lo := 0; lo < len(group); {
			hi := lo + 1
			for hi < len(group) && group[hi].upper == group[lo].upper {
				hi++
			}
			open = pair(group[lo:hi], across) || open
			lo = hi
		}
	}
	return across, open
}

// side is a side of a facet, seen from its lower vertex.
type side struct {
	upper   int32 // the other vertex
	at      int32 // 3 facet + side
	forward bool  // it runs from the lower to the upper vertex
}

func sidesByLowerVertex(m *mesh.Mesh) (starts []int32, sides []side) {
	starts = make([]int32, len(m.Vertices)+1)
	for _, t := range m.Facets {
		for k := range 3 {
			starts[min(t[k], t[(k+1)%3])+1]++
		}
	}
	for v := range m.Vertices {
		starts[v+1] += starts[v]
	}
	next := slices.Clone(starts[:len(m.Vertices)])
	sides = make([]side, 3*len(m.Facets))
	for i, t := range m.Facets {
		for k := range 3 {
			from, to := t[k], t[(k+1)%3]
			low := min(from, to)
			sides[next[low]] = side{upper: max(from, to), at: int32(3*i + k), forward: from == low}
			next[low]++
		}
	}
	return starts, sides
}

// pair matches the sides of one edge that run forward with those that run back.
func pair(edge []side, across []int32) (open bool) {
	forward, back := 0, 0
	for {
		for forward < len(edge) && !edge[forward].forward {
			forward++
		}
		for back < len(edge) && edge[back].forward {
			back++
		}
		if forward == len(edge) || back == len(edge) {
			break
		}
		across[edge[forward].at], across[edge[back].at] = edge[back].at/3, edge[forward].at/3
		forward, back = forward+1, back+1
	}
	for _, rest := range edge[min(forward, len(edge)):] {
		if rest.forward {
			across[rest.at], open = -1, true
		}
	}
	for _, rest := range edge[min(back, len(edge)):] {
		if !rest.forward {
			across[rest.at], open = -1, true
		}
	}
	return open
}
