package suggest

import (
	"context"
	"math"
	"slices"
	"sort"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/mesh"
	"conewright/geom/parallel"
	"conewright/geom/section"
	"conewright/geom/zone"
)

const (
	maxTowers    = 6  // bodies that are told apart in a slab
	maxTowerRuns = 40 // slabs in which upright cuts are tried
	// towerFacets bounds the facets in them, so that large parts don't take
	// forever.
	towerFacets = 400_000
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
	err := parallel.For(ctx, len(found), func(i int) error {
		s.equip(found[i])
		return nil
	})
	for _, t := range found {
		if t.cost < room[choice{t.from, t.to, 0}] {
			s.towers = append(s.towers, t)
		}
	}
	return err
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

// towerFields are the candidates for one tower: cones about the middles of its
// sections, ridges, ramps, level layers.
func (s *search) towerFields(m *mesh.Mesh, low, high float64) []Field {
	heights := []float64{low + 0.02*(high-low), low + 0.3*(high-low), low + 0.6*(high-low), low + 0.9*(high-low)}
	var axes []r2.Vec
	var lines [][]r2.Vec
	if cuts, err := section.Sections(context.Background(), m, heights); err == nil {
		var order []*section.Section
		for i := range cuts {
			if len(cuts[i].Contours) > 0 {
				axes = append(axes, Field{Axis: cuts[i].Centroid()}.rounded().Axis)
				order = append(order, &cuts[i])
			}
		}
		lines, _ = wallLines(order)
	}
	var out []Field
	if s.reach.level() {
		out = append(out, Field{Kind: Level})
	}
	for n, angle := range s.reach.angles() {
		for i, a := range axes {
			if slices.ContainsFunc(axes[:i], func(b r2.Vec) bool { return distance(a, b) < nearAxis }) {
				continue
			}
			out = append(out, Field{Kind: Cone, AngleDeg: angle, Axis: a}.rounded(),
				Field{Kind: Cone, AngleDeg: angle, Axis: a, Inward: true}.rounded())
		}
		for _, line := range lines {
			out = append(out, Field{Kind: Ridge, AngleDeg: angle, Line: line}.rounded())
		}
		for k := range azimuths {
			if n > 0 && k%2 == 1 {
				continue
			}
			out = append(out, Field{Kind: Ramp, AngleDeg: angle, TowardDeg: float64(k) * 360 / azimuths}.rounded())
		}
	}
	return s.reach.reachable(out)
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
