// Package contour follows the level lines of a value given at the vertices of
// a mesh and linear on its facets.
package contour

import (
	"slices"

	"conewright/geom/mesh"

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
	f.gather()
	var lines []Line
	for from := 0; from < len(f.crossings); {
		to := from
		for to < len(f.crossings) && f.crossings[to].level == f.crossings[from].level {
			to++
		}
		lines = f.chain(lines, f.crossings[from:to])
		from = to
	}
	return lines
}

type follower struct {
	mesh           *mesh.Mesh
	values, levels []float64
	crossings      []crossing
}

func (f *follower) gather() {
	perLevel := make([][]crossing, len(f.levels))
	for i, v := range f.mesh.Facets {
		a, b, c := f.values[v[0]], f.values[v[1]], f.values[v[2]]
		low, high := min(a, min(b, c)), max(a, max(b, c))
		if !(low < high) {
			continue
		}
		k, found := slices.BinarySearch(f.levels, low)
		if found {
			k++ // nothing of the facet lies below it
		}
		for ; k < len(f.levels) && f.levels[k] <= high; k++ {
			perLevel[k] = append(perLevel[k], f.cross(v, int32(k), int32(i)))
		}
	}
	f.crossings = slices.Concat(perLevel...)
}

func (f *follower) cross(v [3]int32, level, facet int32) crossing {
	x := crossing{level: level, facet: facet}
	at := f.levels[level]
	for k := range 3 {
		a, b := v[k], v[(k+1)%3]
		aboveA, aboveB := f.values[a] >= at, f.values[b] >= at
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
	begins := make(map[edge]int32, len(crossings))
	ends := make(map[edge]struct{}, len(crossings))
	for i := range crossings {
		begins[crossings[i].from] = int32(i)
		ends[crossings[i].to] = struct{}{}
	}
	for i := range crossings { // open lines, from where they begin
		if _, ok := ends[crossings[i].from]; !ok {
			lines = f.follow(lines, crossings, begins, int32(i))
		}
	}
	for i := range crossings { // rings
		lines = f.follow(lines, crossings, begins, int32(i))
	}
	return lines
}

func (f *follower) follow(lines []Line, crossings []crossing, begins map[edge]int32, i int32) []Line {
	if crossings[i].used {
		return lines
	}
	l := Line{Level: int(crossings[i].level), Points: []r3.Vec{f.point(&crossings[i], crossings[i].from)}}
	for ok := true; ok && !crossings[i].used; {
		x := &crossings[i]
		x.used = true
		if p := f.point(x, x.to); p != l.Points[len(l.Points)-1] {
			l.Points = append(l.Points, p)
			l.Facets = append(l.Facets, x.facet)
		}
		i, ok = begins[x.to]
	}
	if len(l.Points) < 2 {
		return lines
	}
	return append(lines, l)
}

func (f *follower) point(x *crossing, e edge) r3.Vec {
	a, b := f.mesh.Vertices[e[0]], f.mesh.Vertices[e[1]]
	va, vb := f.values[e[0]], f.values[e[1]]
	t := (f.levels[x.level] - va) / (vb - va)
	return r3.Add(a, r3.Scale(t, r3.Sub(b, a)))
}
