package shell

import (
	"context"
	"runtime"
	"sort"
	"sync"
	"sync/atomic"

	"conewright/geom/mesh"

	"gonum.org/v1/gonum/spatial/r3"
)

// closeGap is the greatest distance, mm, between the ends of a chain that is
// closed all the same: a hole in the mesh narrower than a bead.
const closeGap = 0.2

// sweep finds, for each level, where the linear interpolation of the vertices'
// values crosses it, as closed chains of points, and hands them over. Levels
// ascend. take is called from several goroutines, once for each level.
func sweep(ctx context.Context, m *mesh.Mesh, values, levels []float64, take func(i int, chains [][]r3.Vec, open int)) error {
	start, facets := crossed(m, values, levels)
	edges := m.Adjacent()
	var next atomic.Int64
	var group sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), max(len(levels), 1)) {
		group.Go(func() {
			t := tracer{mesh: m, values: values, edge: edges.Edge, startAt: make([]int32, edges.Edges)}
			for ctx.Err() == nil {
				i := int(next.Add(1)) - 1
				if i >= len(levels) {
					return
				}
				chains, open := t.trace(levels[i], facets[start[i]:start[i+1]])
				take(i, chains, open)
			}
		})
	}
	group.Wait()
	return ctx.Err()
}

// crossed lists for each level the facets that cross it, ascending: those of
// level i are facets[start[i]:start[i+1]]. A facet crosses a level where some
// corner is below it and some corner isn't.
func crossed(m *mesh.Mesh, values, levels []float64) (start, facets []int32) {
	first := make([]int32, len(m.Facets))
	last := make([]int32, len(m.Facets))
	start = make([]int32, len(levels)+1)
	for i, f := range m.Facets {
		a, b, c := values[f[0]], values[f[1]], values[f[2]]
		lo, hi := min(a, b, c), max(a, b, c)
		from := sort.Search(len(levels), func(k int) bool { return levels[k] > lo })
		to := from
		for to < len(levels) && levels[to] <= hi {
			start[to+1]++
			to++
		}
		first[i], last[i] = int32(from), int32(to)
	}
	for i := range levels {
		start[i+1] += start[i]
	}
	facets = make([]int32, start[len(levels)])
	fill := append([]int32(nil), start...)
	for i := range m.Facets {
		for k := first[i]; k < last[i]; k++ {
			facets[fill[k]] = int32(i)
			fill[k]++
		}
	}
	return start, facets
}

// tracer links the segments of one level into chains. A facet's segment runs
// from the side where its values fall through the level, going round
// counter-clockwise, to the side where they rise: solid is then on its left.
type tracer struct {
	mesh    *mesh.Mesh
	values  []float64
	edge    []int32 // half-edge -> edge
	startAt []int32 // edge -> 1 + segment that starts there; 0: none
	segs    []segment
}

type segment struct {
	from, to int32 // half-edges
	twin     int32 // 1 + another segment that starts on the same edge; 0: none
	used     bool
	fed      bool // another segment ends where it starts
}

func (t *tracer) trace(level float64, facets []int32) (chains [][]r3.Vec, open int) {
	t.segs = t.segs[:0]
	for _, f := range facets {
		t.addSegment(f, level)
	}
	for i := range t.segs { // mark what leads on, so that open chains begin at their start
		if k := t.startAt[t.edge[t.segs[i].to]]; k != 0 {
			t.segs[k-1].fed = true
		}
	}
	for _, wanted := range [2]bool{false, true} {
		for i := range t.segs {
			if s := &t.segs[i]; !s.used && s.fed == wanted {
				chain, closed := t.follow(int32(i), level)
				switch {
				case closed || r3.Norm(r3.Sub(chain[0], chain[len(chain)-1])) <= closeGap:
					chains = append(chains, chain)
				default:
					open++
				}
			}
		}
	}
	for i := range t.segs {
		t.startAt[t.edge[t.segs[i].from]] = 0
	}
	return chains, open
}

func (t *tracer) addSegment(f int32, level float64) {
	var s segment
	corners := &t.mesh.Facets[f]
	for k := range int32(3) {
		a, b := t.values[corners[k]] >= level, t.values[corners[(k+1)%3]] >= level
		switch {
		case a && !b:
			s.from = 3*f + k
		case !a && b:
			s.to = 3*f + k
		}
	}
	e := t.edge[s.from]
	s.twin = t.startAt[e]
	t.segs = append(t.segs, s)
	t.startAt[e] = int32(len(t.segs))
}

// follow walks from segment i on and returns the points where each begins; of an
// open chain the end of the last too.
func (t *tracer) follow(i int32, level float64) (chain []r3.Vec, closed bool) {
	first := t.edge[t.segs[i].from]
	for {
		s := &t.segs[i]
		s.used = true
		chain = append(chain, t.point(s.from, level))
		e := t.edge[s.to]
		k := t.startAt[e]
		for k != 0 && t.segs[k-1].used {
			k = t.segs[k-1].twin
		}
		if k == 0 {
			if e == first {
				return chain, true
			}
			return append(chain, t.point(s.to, level)), false
		}
		if e == first && i != k-1 { // back at the start with a second sheet on the edge: close this one
			return chain, true
		}
		i = k - 1
	}
}

// point returns where a half-edge crosses the level: reckoned from its lower end
// upward, so that both facets of an edge get the same point to the last bit.
func (t *tracer) point(half int32, level float64) r3.Vec {
	a, b := t.mesh.Ends(half)
	va, vb := t.values[a], t.values[b]
	if va >= level {
		a, b, va, vb = b, a, vb, va
	}
	k := (level - va) / (vb - va)
	p, q := t.mesh.Vertices[a], t.mesh.Vertices[b]
	if k >= 1 {
		return q
	}
	return r3.Vec{X: p.X + k*(q.X-p.X), Y: p.Y + k*(q.Y-p.Y), Z: p.Z + k*(q.Z-p.Z)}
}
