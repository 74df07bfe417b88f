package suggest

import (
	"context"
	"math"
	"slices"
	"sort"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/field"
	"conewright/geom/mesh"
	"conewright/geom/shell"
	"conewright/geom/zone"
)

const (
	maxTowers    = 6  // bodies that are told apart in a slab
	maxTowerRuns = 40 // slabs in which upright cuts are tried
	// towerFacets bounds the facets in them, so that large parts don't take
	// forever.
	towerFacets = 800_000
	leastGap    = 0.5 // mm between towers: room for a cut and for the beads' own width
	cutAzimuths = 16  // directions of upright cuts
	towerTries  = 40  // fields for which the head is tried, for each tower
)

// towers is a slab whose bodies, which join higher up if at all, are printed one
// after the other, each with a field of its own.
type towers struct {
	from, to int
	root     *tower
	cost     float64 // as surveyed, all of it
	reached  reached // what the head says
	proof    *proof
}

// tower is a node of the tree of upright cuts: a leaf has a field.
type tower struct {
	cut         *zone.Plane
	under, over *tower
	bodies      []*body
	field       Field
	ranked      *[]ranked // once known; shared by trees of the same bodies
}

func (t *tower) leaves() []*tower {
	if t.cut == nil {
		return []*tower{t}
	}
	return append(t.under.leaves(), t.over.leaves()...)
}

// body is a connected piece of the surface within a slab.
type body struct {
	facets []int32
	points []r2.Vec // corners, in plan
}

// findTowers adds upright cuts where bodies stand side by side in a slab that
// no single field prints well.
func (s *search) findTowers(ctx context.Context) error {
	if !s.reach.steep() {
		return nil // all towers alike
	}
	n := len(s.heights) - 1
	var slabs []choice
	room := map[choice]float64{}
	for from := range n {
		for to := from + 1; to <= n; to++ {
			best := math.Inf(1)
			for f := range s.fields {
				best = math.Min(best, s.cost(choice{from, to, f}))
			}
			if c := (choice{from, to, 0}); best > 3*zoneWeight {
				slabs, room[c] = append(slabs, c), best
			}
		}
	}
	// What costs most first; of equals, the thickest.
	sort.SliceStable(slabs, func(i, j int) bool {
		a, b := slabs[i], slabs[j]
		if room[a] != room[b] {
			return room[a] > room[b]
		}
		return s.heights[a.to]-s.heights[a.from] > s.heights[b.to]-s.heights[b.from]
	})
	var found []*towers
	facets := 0
	for _, c := range slabs {
		if err := ctx.Err(); err != nil {
			return err
		}
		if len(found) == maxTowerRuns || facets > towerFacets {
			break
		}
		bodies := s.survey.bodies(s.heights[c.from], s.heights[c.to])
		if len(bodies) < 2 || len(bodies) > maxTowers {
			continue
		}
		if root := part(bodies); root.cut != nil {
			found = append(found, &towers{from: c.from, to: c.to, root: root})
			for _, b := range bodies {
				facets += len(b.facets)
			}
		}
	}
	inParallel(ctx, len(found), func() func(int) {
		return func(i int) { s.equip(found[i]) }
	})
	for _, t := range found {
		if t.cost < room[choice{t.from, t.to, 0}] {
			s.towers = append(s.towers, t)
		}
	}
	return ctx.Err()
}

// bodies returns the connected pieces of the surface between two heights, in
// the order of their first facets.
func (s *survey) bodies(low, high float64) []*body {
	parent := make([]int32, len(s.mesh.Vertices))
	for i := range parent {
		parent[i] = int32(i)
	}
	find := func(v int32) int32 {
		for parent[v] != v {
			parent[v] = parent[parent[v]]
			v = parent[v]
		}
		return v
	}
	var within []int32
	for i, t := range s.mesh.Facets {
		a, b, c := s.mesh.Corners(i)
		if max(a.Z, b.Z, c.Z) <= low+onCut || min(a.Z, b.Z, c.Z) >= high-onCut {
			continue
		}
		within = append(within, int32(i))
		parent[find(t[1])] = find(t[0])
		parent[find(t[2])] = find(t[0])
	}
	index := map[int32]*body{}
	var out []*body
	for _, i := range within {
		root := find(s.mesh.Facets[i][0])
		b := index[root]
		if b == nil {
			b = &body{}
			index[root] = b
			out = append(out, b)
		}
		b.facets = append(b.facets, i)
		for _, v := range s.mesh.Facets[i] {
			p := s.mesh.Vertices[v]
			b.points = append(b.points, r2.Vec{X: p.X, Y: p.Y})
		}
	}
	return out
}

// part parts bodies by the upright plane in the widest gap, and what is on
// either side again. Where no plane goes between, it returns a leaf.
func part(bodies []*body) *tower {
	if len(bodies) < 2 {
		return &tower{bodies: bodies, ranked: new([]ranked)}
	}
	type span struct {
		lo, hi float64
		body   *body
	}
	gap, at, along := leastGap, 0.0, r2.Vec{}
	for k := range cutAzimuths {
		sin, cos := math.Sincos(float64(k) * math.Pi / cutAzimuths)
		dir := r2.Vec{X: cos, Y: sin}
		var spans []span
		for _, b := range bodies {
			p := span{math.Inf(1), math.Inf(-1), b}
			for _, q := range b.points {
				d := r2.Dot(dir, q)
				p.lo, p.hi = math.Min(p.lo, d), math.Max(p.hi, d)
			}
			spans = append(spans, p)
		}
		slices.SortStableFunc(spans, func(a, b span) int {
			if a.lo < b.lo {
				return -1
			}
			return 1
		})
		end := spans[0].hi
		for _, p := range spans[1:] {
			if p.lo-end > gap+1e-6 {
				gap, at, along = p.lo-end, (p.lo+end)/2, dir
			}
			end = math.Max(end, p.hi)
		}
	}
	if along == (r2.Vec{}) {
		return &tower{bodies: bodies, ranked: new([]ranked)}
	}
	cut := &zone.Plane{
		Point:  r3.Vec{X: tidy(at * along.X), Y: tidy(at * along.Y)},
		Normal: r3.Vec{X: tidy(along.X), Y: tidy(along.Y)},
	}
	var under, over []*body
	for _, b := range bodies {
		if r2.Dot(along, b.points[0]) < at {
			under = append(under, b)
		} else {
			over = append(over, b)
		}
	}
	return &tower{cut: cut, under: part(under), over: part(over)}
}

// turned returns the tree with what prints first last.
func (t *tower) turned() *tower {
	if t.cut == nil {
		return &tower{bodies: t.bodies, ranked: t.ranked}
	}
	cut := &zone.Plane{Point: t.cut.Point, Normal: r3.Sub(r3.Vec{}, t.cut.Normal)}
	return &tower{cut: cut, under: t.over.turned(), over: t.under.turned()}
}

// equip gives every tower the field that costs least and whose head clears the
// towers before it, in whichever order of printing is cheaper.
func (s *search) equip(t *towers) {
	t.cost = math.Inf(1)
	for _, root := range []*tower{t.root, t.root.turned()} {
		try := towers{from: t.from, to: t.to, root: root}
		s.equipOrdered(&try)
		if try.cost < t.cost {
			*t = try
		}
	}
}

// ranked is a field with its cost for a tower.
type ranked struct {
	field Field
	cost  float64
}

func (s *search) equipOrdered(t *towers) {
	low := s.heights[t.from]
	leaves := t.root.leaves()
	t.reached.travel = true
	t.cost = habitWeight * s.rests[t.from].share
	var before []func(p r3.Vec) bool
	for _, leaf := range leaves {
		in := s.inBodies(leaf.bodies, t.from, t.to)
		span := zoneSpan{in: in, before: func(p r3.Vec) bool {
			return p.Z < low || slices.ContainsFunc(before, func(f func(r3.Vec) bool) bool { return f(p) })
		}}
		list := s.rank(leaf, t.from, t.to)
		best, cost := 0, math.Inf(1)
		var got reached
		for i := range list[:min(towerTries, len(list))] {
			if list[i].cost >= cost {
				break
			}
			lift := list[i].field.Lift()
			depth, travel := s.head.depth(&lift, span, s.options.Shell, true)
			v := list[i].cost
			if depth > 0 || !travel {
				v += headWeight
			}
			if v < cost {
				best, cost, got = i, v, reached{depth, travel}
			}
			if v < headWeight {
				break
			}
		}
		leaf.field = list[best].field
		t.cost += cost
		t.reached.depth = math.Max(t.reached.depth, got.depth)
		t.reached.travel = t.reached.travel && got.travel
		before = append(before, in)
	}
}

// inBodies tells whether a place of the surface belongs to bodies in a slab: by
// their boxes, which upright cuts have parted well enough.
func (s *search) inBodies(bodies []*body, from, to int) func(p r3.Vec) bool {
	low, high := s.heights[from], s.heights[to]
	top := to == len(s.heights)-1
	boxes := make([]r2.Box, len(bodies))
	for i, b := range bodies {
		boxes[i] = r2.Box{Min: b.points[0], Max: b.points[0]}
		for _, p := range b.points {
			boxes[i].Min = r2.Vec{X: math.Min(boxes[i].Min.X, p.X), Y: math.Min(boxes[i].Min.Y, p.Y)}
			boxes[i].Max = r2.Vec{X: math.Max(boxes[i].Max.X, p.X), Y: math.Max(boxes[i].Max.Y, p.Y)}
		}
	}
	return func(p r3.Vec) bool {
		if p.Z < low || p.Z >= high && !top {
			return false
		}
		return slices.ContainsFunc(boxes, func(b r2.Box) bool {
			return p.X >= b.Min.X && p.X <= b.Max.X && p.Y >= b.Min.Y && p.Y <= b.Max.Y
		})
	}
}

// rank judges fields for one tower and returns them, the cheapest first.
func (s *search) rank(leaf *tower, from, to int) []ranked {
	if *leaf.ranked != nil {
		return *leaf.ranked
	}
	low, high := s.heights[from], s.heights[to]
	own := s.survey.only(leaf.bodies, low)
	w := own.scratch()
	in := func(p r3.Vec) bool { return p.Z >= low-onCut && p.Z < high-onCut }
	if to == len(s.heights)-1 {
		in = func(p r3.Vec) bool { return p.Z >= low-onCut }
	}
	var out []ranked
	for _, f := range s.towerFields(own.mesh, low, high) {
		lift := f.Lift()
		v := own.judge(w, &lift, []float64{low, high}, in)
		cost := v.area[0]/math.Max(s.levelArea, noArea) + startWeight*float64(len(v.starts)) + zoneWeight + habitWeight*s.habit(&f, from)
		out = append(out, ranked{f, cost})
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].cost < out[j].cost })
	*leaf.ranked = out
	return out
}

// only returns the survey of some bodies alone, which stand on a cut at low.
// What borders on the rest is open there.
func (s *survey) only(bodies []*body, low float64) *survey {
	m := &mesh.Mesh{}
	index := map[int32]int32{}
	var bed []bool
	for _, b := range bodies {
		for _, i := range b.facets {
			var t [3]int32
			for k, v := range s.mesh.Facets[i] {
				u, ok := index[v]
				if !ok {
					u = int32(len(m.Vertices))
					index[v] = u
					m.Vertices = append(m.Vertices, s.mesh.Vertices[v])
					bed = append(bed, s.bed[v] || s.mesh.Vertices[v].Z <= low+onCut)
				}
				t[k] = u
			}
			m.Facets = append(m.Facets, t)
		}
	}
	own := newSurvey(m, s.limitDeg, s.steepest, s.layer)
	own.bed = bed
	return own
}

// towerFields are the candidates for one tower: cones about the middles of its
// sections, ramps, level layers.
func (s *search) towerFields(m *mesh.Mesh, low, high float64) []Field {
	heights := []float64{low + 0.02*(high-low), low + 0.3*(high-low), low + 0.6*(high-low), low + 0.9*(high-low)}
	var axes []r2.Vec
	if cuts, err := shell.Sections(context.Background(), m, heights); err == nil {
		for i := range cuts {
			if len(cuts[i].Contours) > 0 {
				axes = append(axes, Field{Axis: cuts[i].Centroid()}.rounded().Axis)
			}
		}
	}
	var out []Field
	if s.reach.level() {
		out = append(out, Field{Kind: field.Level})
	}
	for _, angle := range s.reach.angles() {
		for i, a := range axes {
			if slices.ContainsFunc(axes[:i], func(b r2.Vec) bool { return distance(a, b) < nearAxis }) {
				continue
			}
			out = append(out, Field{Kind: field.Cone, AngleDeg: angle, Axis: a}.rounded(),
				Field{Kind: field.Cone, AngleDeg: angle, Axis: a, Inward: true}.rounded())
		}
		for k := range azimuths {
			out = append(out, Field{Kind: field.Ramp, AngleDeg: angle, TowardDeg: float64(k) * 360 / azimuths}.rounded())
		}
	}
	return out
}

// proveTowers judges each tower exactly.
func (s *search) proveTowers(ctx context.Context, t *towers) error {
	if t.proof != nil {
		return nil
	}
	m, err := s.slab(t.from, t.to)
	if err != nil {
		return err
	}
	zones, err := zone.Split(ctx, m, t.root.tree())
	if err != nil {
		return err
	}
	sum := &proof{}
	for i, leaf := range t.root.leaves() {
		p, err := s.judgeExactly(ctx, zones[i].Mesh, &leaf.field)
		if err != nil {
			return err
		}
		if sum.starts == 0 {
			sum.at = p.at
		}
		sum.area, sum.starts, sum.shells = sum.area+p.area, sum.starts+p.starts, sum.shells+p.shells
		sum.height = math.Max(sum.height, p.height)
	}
	t.proof = sum
	return nil
}

func (t *tower) tree() *zone.Node {
	if t.cut == nil {
		return &zone.Node{}
	}
	return &zone.Node{Cut: t.cut, Under: t.under.tree(), Over: t.over.tree()}
}
