package zone

import (
	"cmp"
	"math"
	"slices"
)

// unpaired returns the directed edges that no edge of the opposite direction
// answers, sorted. An edge that occurs several times is counted as often.
func unpaired(edges [][2]int32) [][2]int32 {
	key := func(e [2]int32) [2]int32 { return [2]int32{min(e[0], e[1]), max(e[0], e[1])} }
	sorted := slices.Clone(edges)
	slices.SortFunc(sorted, func(a, b [2]int32) int {
		ka, kb := key(a), key(b)
		return cmp.Or(cmp.Compare(ka[0], kb[0]), cmp.Compare(ka[1], kb[1]))
	})
	var open [][2]int32
	for i := 0; i < len(sorted); {
		k, sum := key(sorted[i]), 0
		for ; i < len(sorted) && key(sorted[i]) == k; i++ {
			if sorted[i][0] < sorted[i][1] {
				sum++
			} else if sorted[i][0] > sorted[i][1] {
				sum--
			}
		}
		for ; sum > 0; sum-- {
			open = append(open, k)
		}
		for ; sum < 0; sum++ {
			open = append(open, [2]int32{k[1], k[0]})
		}
	}
	slices.SortFunc(open, compareEdges)
	return open
}

func compareEdges(a, b [2]int32) int {
	return cmp.Or(cmp.Compare(a[0], b[0]), cmp.Compare(a[1], b[1]))
}

// tracer walks along open edges.
type tracer struct {
	edges [][2]int32 // sorted by start
	used  []bool
	flat  func(v int32) (x, y float64)
}

// traceLoops joins sorted directed edges into loops in which no vertex occurs
// twice. Where loops touch in a vertex it turns sharply left, so that each
// loop goes round its own solid. A chain with loose ends, which only an open
// mesh has, is closed straight.
func traceLoops(edges [][2]int32, flat func(v int32) (x, y float64)) [][]int32 {
	t := &tracer{edges: edges, used: make([]bool, len(edges)), flat: flat}
	var loops [][]int32
	for i := range edges {
		if !t.used[i] {
			loops = t.walk(i, loops)
		}
	}
	return loops
}

// walk follows the edges from edge i until it can't go on, and cuts off a loop
// whenever it comes back to a vertex of its way.
func (t *tracer) walk(i int, loops [][]int32) [][]int32 {
	way := []int32{t.edges[i][0]}
	place := map[int32]int{way[0]: 0}
	for i >= 0 {
		t.used[i] = true
		v := t.edges[i][1]
		if k, seen := place[v]; seen {
			loop := slices.Clone(way[k:])
			loops = append(loops, loop)
			for _, w := range loop[1:] {
				delete(place, w)
			}
			way = way[:k+1]
		} else {
			place[v] = len(way)
			way = append(way, v)
		}
		i = t.next(t.edges[i][0], v)
	}
	if len(way) > 2 {
		loops = append(loops, way)
	}
	return loops
}

// next returns the unused edge out of v that turns furthest left for a walker
// who comes from the vertex from, or -1.
func (t *tracer) next(from, v int32) int {
	lo, _ := slices.BinarySearchFunc(t.edges, v, func(e [2]int32, v int32) int { return cmp.Compare(e[0], v) })
	best, most := -1, math.Inf(-1)
	for i := lo; i < len(t.edges) && t.edges[i][0] == v; i++ {
		if t.used[i] {
			continue
		}
		if turn := t.turn(from, v, t.edges[i][1]); turn > most {
			best, most = i, turn
		}
	}
	return best
}

// turn returns the angle by which the way a, b, c turns left at b.
func (t *tracer) turn(a, b, c int32) float64 {
	ax, ay := t.flat(a)
	bx, by := t.flat(b)
	cx, cy := t.flat(c)
	px, py, qx, qy := bx-ax, by-ay, cx-bx, cy-by
	return math.Atan2(px*qy-py*qx, px*qx+py*qy)
}
