// Package contour follows the level lines of a value given at the vertices of
// a mesh and linear on its facets.
package contour

import (
	"slices"

	"conewright/geom/mesh"
	"conewright/geom/parallel"

	"gonum.org/v1/gonum/spatial/r3"
)

// Line is a level line on the mesh's surface. A closed one ends where it
// begins.
type Line struct {
	Level  int // index into the levels
	Points []r3.Vec
	Facets []int32 // of each segment
}

// Closed reports whether the line ends where it begins.
func (l *Line) Closed() bool { return l.Points[0] == l.Points[len(l.Points)-1] }

// crossing is the stretch of a level line in one facet, from one edge of the
// mesh to another. Lower values lie on its right, seen from outside.
type crossing struct {
	level, facet int32
	from, to     edge
	used         bool
}

// edge is an edge of the mesh by its vertices, the lower one first.
type edge [2]int32

// Lines returns the lines on which values, one a vertex, equal the levels,
// which must rise; sorted by level, else in the order of facets. A vertex that
// has a level's very value counts as above it, so that every edge either
// crosses or doesn't.
func Lines(m *mesh.Mesh, values, levels []float64) []Line {
	f := follower{mesh: m, values: values, levels: levels}
	f.rankVertices()
	tables := tablePool.Get().(*[2]table)
	tables[0].fit(len(values))
	tables[1].fit(len(values))
	f.begins, f.ends = &tables[0], &tables[1]
	levelled := f.gather()
	sum := 0
	for _, crossings := range levelled {
		sum += len(crossings)
	}
	f.points, f.facets = make([]r3.Vec, 0, sum+sum/8), make([]int32, 0, sum)
	var lines []Line
	for _, crossings := range levelled {
		lines = f.chain(lines, crossings)
	}
	tablePool.Put(tables)
	return lines
}

type follower struct {
	mesh           *mesh.Mesh
	values, levels []float64
	ranks          []int32 // of each vertex: how many levels are at or under its value
	begins, ends   *table  // of the crossings of one level
	points         []r3.Vec
	facets         []int32 // points and facets of all lines in a row
}

func (f *follower) rankVertices() {
	f.ranks = make([]int32, len(f.values))
	parallel.Spans(len(f.values), parallel.Stretch, func(_, from, to int) {
		k := 0 // the vertices of a mesh often follow each other: the last one's rank is tried first
		for i := from; i < to; i++ {
			v := f.values[i]
			if !(k == 0 || f.levels[k-1] <= v) || !(k == len(f.levels) || v < f.levels[k]) {
				found := false
				if k, found = slices.BinarySearch(f.levels, v); found {
					k++
				}
			}
			f.ranks[i] = int32(k)
		}
	})
}

// gather returns the crossings by level, in the order of facets.
func (f *follower) gather() [][]crossing {
	blocks := f.count()
	all := make([]crossing, place(blocks))
	parallel.Spans(len(f.mesh.Facets), parallel.Stretch, func(block, _, _ int) {
		b := &blocks[block]
		for _, i := range b.facets {
			v := f.mesh.Facets[i]
			low, high := f.span(v)
			for k := low; k < high; k++ {
				all[b.next[k]] = f.cross(v, k, i)
				b.next[k]++
			}
		}
	})
	levels := make([][]crossing, len(f.levels)) // the places have moved on to the ends
	from := int32(0)
	for k := range levels {
		to := blocks[len(blocks)-1].next[k]
		levels[k] = all[from:to:to]
		from = to
	}
	return levels
}

// block is a stretch of the mesh's facets: those that cross a level, and how many
// crossings there are of each level, which become the places of the next ones.
type block struct {
	facets []int32
	next   []int32
}

func (f *follower) count() []block {
	blocks := make([]block, max(parallel.SpanCount(len(f.mesh.Facets), parallel.Stretch), 1))
	blocks[0].next = make([]int32, len(f.levels))
	parallel.Spans(len(f.mesh.Facets), parallel.Stretch, func(n, from, to int) {
		b := block{next: make([]int32, len(f.levels))}
		for i, v := range f.mesh.Facets[from:to] {
			low, high := f.span(v)
			if low < high {
				b.facets = append(b.facets, int32(from+i))
			}
			for k := low; k < high; k++ {
				b.next[k]++
			}
		}
		blocks[n] = b
	})
	return blocks
}

// place turns counts into places among all crossings, by level and then by
// block, and returns the number of all.
func place(blocks []block) int32 {
	sum := int32(0)
	for k := range blocks[0].next {
		for _, b := range blocks {
			b.next[k], sum = sum, sum+b.next[k]
		}
	}
	return sum
}

// span returns the levels from low to under high that a facet crosses.
func (f *follower) span(v [3]int32) (low, high int32) {
	a, b, c := f.ranks[v[0]], f.ranks[v[1]], f.ranks[v[2]]
	return min(a, b, c), max(a, b, c)
}

func (f *follower) cross(v [3]int32, level, facet int32) crossing {
	x := crossing{level: level, facet: facet}
	for k := range 3 {
		a, b := v[k], v[(k+1)%3]
		aboveA, aboveB := f.ranks[a] > level, f.ranks[b] > level
		if aboveA && !aboveB {
			x.from = edge{min(a, b), max(a, b)}
		} else if aboveB && !aboveA {
			x.to = edge{min(a, b), max(a, b)}
		}
	}
	return x
}

// chain joins the crossings of one level.
func (f *follower) chain(lines []Line, crossings []crossing) []Line {
	for i := range crossings {
		f.begins.put(crossings[i].from)
		f.ends.put(crossings[i].to)
	}
	for i := range crossings { // open lines, from where they begin
		if _, ok := f.ends.last(crossings[i].from); !ok {
			lines = f.follow(lines, crossings, int32(i))
		}
	}
	for i := range crossings { // rings
		lines = f.follow(lines, crossings, int32(i))
	}
	f.begins.clear()
	f.ends.clear()
	return lines
}

func (f *follower) follow(lines []Line, crossings []crossing, i int32) []Line {
	if crossings[i].used {
		return lines
	}
	level := int(crossings[i].level)
	firstPoint, firstFacet := len(f.points), len(f.facets)
	f.points = append(f.points, f.point(&crossings[i], crossings[i].from))
	for ok := true; ok && !crossings[i].used; {
		x := &crossings[i]
		x.used = true
		if p := f.point(x, x.to); p != f.points[len(f.points)-1] {
			f.points = append(f.points, p)
			f.facets = append(f.facets, x.facet)
		}
		i, ok = f.begins.last(x.to)
	}
	if len(f.points) < firstPoint+2 {
		return lines
	}
	p, n := len(f.points), len(f.facets)
	return append(lines, Line{Level: level, Points: f.points[firstPoint:p:p], Facets: f.facets[firstFacet:n:n]})
}

func (f *follower) point(x *crossing, e edge) r3.Vec {
	a, b := f.mesh.Vertices[e[0]], f.mesh.Vertices[e[1]]
	va, vb := f.values[e[0]], f.values[e[1]]
	t := (f.levels[x.level] - va) / (vb - va)
	return r3.Add(a, r3.Scale(t, r3.Sub(b, a)))
}
