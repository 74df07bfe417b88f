package overhang

import (
	"context"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/disjoint"
	"conewright/geom/field"
	"conewright/geom/mesh"
	"conewright/geom/zone"
)

// Patch is a connected piece of what is unsupported, parted into bridges and
// free ends. A place belongs to a bridge if a straight bead over it, in some
// direction, runs within the patch from a place that is held to another: where
// the shell before has material just past the patch, or the base lies.
type Patch struct {
	Area    float64 // mm2, real
	Bridged float64 // of it, mm2: bridges; the rest hangs by one end, or by none
	Span    float64 // the longest bead that a place of a bridge needs, mm; 0: no bridge
	At      r3.Vec  // a place on the patch: on its free ends if it has any
	// Bridges and Ends cover the patch, for drawing.
	Bridges, Ends []Piece
}

const (
	// directions in which beads are tried, over half a turn, beside those of the
	// patch's own edges.
	directions = 12
	// pastEdge is how far past a patch's edge, mm, material holds a bead: within
	// what a common bead is wide (common practice, no source).
	pastEdge = 0.3
	// underShell is how far below the shell, mm, that material must reach: less
	// than pastEdge, so that a surface at 45 degrees to the shell holds.
	underShell = 0.15
	// samples is about how many places are looked at, all patches together.
	samples = 5000
	// leastSample is the shortest edge, mm, down to which facets are parted.
	leastSample = 1.0
)

// Patches parts what is unsupported of a zone into connected patches and tells
// their bridges from their free ends. m, f and base are those that o was found
// with (base nil: made here from m). The patches come in the order of their first
// facets. The error is ctx's.
func (o *Unsupported) Patches(ctx context.Context, m *mesh.Mesh, f *field.Field, base *zone.Base) ([]Patch, error) {
	if len(o.Facets)+len(o.Pieces) == 0 {
		return nil, ctx.Err()
	}
	if base == nil {
		base = zone.NewBase(m)
	}
	h := &holds{mesh: m, field: f, base: base, plumb: newPlumb(m)}
	longest := math.Max(leastSample, math.Sqrt(o.Area/samples*3))
	var out []Patch
	for _, polygons := range o.connected(m) {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		out = append(out, h.patch(polygons, longest))
	}
	return out, nil
}

// connected groups the unsupported polygons by the facets' common edges.
func (o *Unsupported) connected(m *mesh.Mesh) [][]Piece {
	all := make([]Piece, 0, len(o.Facets)+len(o.Pieces))
	for _, i := range o.Facets {
		a, b, c := m.Corners(int(i))
		all = append(all, Piece{i, []r3.Vec{a, b, c}})
	}
	all = append(all, o.Pieces...)
	joined := disjoint.New(len(all))
	owner := map[[2]int32]int32{}
	for i, p := range all {
		t := m.Facets[p.Facet]
		for k := range t {
			e := [2]int32{min(t[k], t[(k+1)%3]), max(t[k], t[(k+1)%3])}
			if j, ok := owner[e]; ok {
				joined.Join(j, int32(i))
			}
			owner[e] = int32(i)
		}
	}
	index := map[int32]int{}
	var groups [][]Piece
	for i, p := range all {
		root := joined.Root(int32(i))
		g, ok := index[root]
		if !ok {
			g = len(groups)
			index[root] = g
			groups = append(groups, nil)
		}
		groups[g] = append(groups[g], p)
	}
	return groups
}

// holds tells what is held where.
type holds struct {
	mesh  *mesh.Mesh
	field *field.Field
	base  *zone.Base
	plumb *plumb
}

// at reports whether a bead along the shell that ends at p, going on toward dir,
// is held there.
func (h *holds) at(p r3.Vec, dir r2.Vec) bool {
	from := r2.Vec{X: p.X, Y: p.Y}
	q := r2.Add(from, r2.Scale(pastEdge, dir))
	shell := p.Z + h.field.At(from) - h.field.At(q)
	if b, _, _ := h.base.Height(q.X, q.Y, shell+underShell); b >= shell-underShell {
		return true
	}
	return h.plumb.solid(q, shell-underShell)
}

// ways returns the directions in which beads are tried over a patch: spread
// evenly, and along and across the two that most of its outline runs in.
func (h *holds) ways(polygons []Piece) []r2.Vec {
	var out []r2.Vec
	add := func(angle float64) {
		sin, cos := math.Sincos(angle)
		out = append(out, r2.Vec{X: cos, Y: sin})
	}
	for k := range directions {
		add(math.Pi * float64(k) / directions)
	}
	seen := map[[2]int32]int{}
	each := func(visit func(e [2]int32, d r3.Vec)) {
		for _, p := range polygons {
			t := h.mesh.Facets[p.Facet]
			for k := range t {
				a, b := t[k], t[(k+1)%3]
				visit([2]int32{min(a, b), max(a, b)}, r3.Sub(h.mesh.Vertices[b], h.mesh.Vertices[a]))
			}
		}
	}
	each(func(e [2]int32, _ r3.Vec) { seen[e]++ })
	const bins = 360
	var angle, length [bins]float64
	each(func(e [2]int32, d r3.Vec) {
		if seen[e] != 1 {
			return
		}
		a := math.Mod(math.Atan2(d.Y, d.X)+2*math.Pi, math.Pi)
		k := int(math.Round(a/math.Pi*bins)) % bins
		angle[k], length[k] = a, length[k]+math.Hypot(d.X, d.Y)
	})
	for range 2 {
		best := 0
		for k := range bins {
			if length[k] > length[best] {
				best = k
			}
		}
		if length[best] > 0 {
			add(angle[best])
			add(angle[best] + math.Pi/2)
		}
		length[best] = 0
	}
	return out
}

// patch tells bridges from free ends in one patch.
func (h *holds) patch(polygons []Piece, longest float64) Patch {
	var ways []rows
	for _, dir := range h.ways(polygons) {
		ways = append(ways, h.newRows(polygons, dir, longest/2))
	}
	var out Patch
	end := false
	for _, p := range polygons {
		parts := parted(p.Corners, longest)
		bridged := make([]bool, len(parts))
		count := 0
		for i, t := range parts {
			middle := r3.Scale(1.0/3, r3.Add(t[0], r3.Add(t[1], t[2])))
			area := areaOfTriangle(t)
			out.Area += area
			span := shortest(ways, r2.Vec{X: middle.X, Y: middle.Y})
			if bridged[i] = span > 0; bridged[i] {
				out.Bridged += area
				out.Span = math.Max(out.Span, span)
				count++
			}
			if out.At == (r3.Vec{}) || !bridged[i] && !end {
				out.At, end = middle, !bridged[i]
			}
		}
		switch count {
		case 0:
			out.Ends = append(out.Ends, p)
		case len(parts):
			out.Bridges = append(out.Bridges, p)
		default:
			for i, t := range parts {
				piece := Piece{p.Facet, []r3.Vec{t[0], t[1], t[2]}}
				if bridged[i] {
					out.Bridges = append(out.Bridges, piece)
				} else {
					out.Ends = append(out.Ends, piece)
				}
			}
		}
	}
	return out
}

// shortest returns the length of the shortest bead over p that is held at both
// ends, 0 if there is none.
func shortest(ways []rows, p r2.Vec) float64 {
	least := 0.0
	for k := range ways {
		if s := ways[k].span(p); s > 0 && (least == 0 || s < least) {
			least = s
		}
	}
	return least
}

// parted returns a convex polygon as triangles with no edge longer than longest,
// each longer one halved.
func parted(corners []r3.Vec, longest float64) [][3]r3.Vec {
	var stack, out [][3]r3.Vec
	for k := 1; k+1 < len(corners); k++ {
		stack = append(stack, [3]r3.Vec{corners[0], corners[k], corners[k+1]})
	}
	for len(stack) > 0 {
		t := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		k, most := 0, 0.0
		for i := range t {
			if d := r3.Norm(r3.Sub(t[(i+1)%3], t[i])); d > most {
				k, most = i, d
			}
		}
		if most <= longest || len(out)+len(stack) > samples {
			out = append(out, t)
			continue
		}
		a, b, c := t[k], t[(k+1)%3], t[(k+2)%3]
		mid := r3.Scale(0.5, r3.Add(a, b))
		stack = append(stack, [3]r3.Vec{mid, b, c}, [3]r3.Vec{a, mid, c})
	}
	return out
}
