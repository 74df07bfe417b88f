package suggest

import (
	"context"
	"math"
	"runtime"
	"slices"
	"sort"
	"sync"
	"sync/atomic"

	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/field"
	"conewright/geom/mesh"
	"conewright/geom/support"
)

// Weights of a plan's cost, as shares of the unsupported area in level layers.
const (
	startWeight = 1.0 // a mid-air start spoils more than any area
	// a free edge begun all along at once hangs by its end
	fragileWeight = 0.3
	zoneWeight    = 0.03 // a zone must earn itself
	headWeight    = 10.0 // a head that meets what is printed: no plan at all
	habitWeight   = 0.01 // what decides between equals: see search.habit
)

const maxZones = 5

// search is one search for plans.
type search struct {
	options  Options
	progress func(float64)
	mesh     *mesh.Mesh // the part
	reach    reach
	survey   *survey
	cuts     *sections
	head     *head

	levelArea   float64 // in level layers, mm2
	levelStarts int
	single      *stack // the best of one zone
	firstStart  r3.Vec // of the first plan, where it has one

	heights  []float64
	rests    []rest // what a zone beginning at each height stands on
	hangs    []hang
	fields   []Field
	verdicts []verdict
	sum      [][]float64 // of verdicts' areas, from below
	towers   []*towers
	depths   map[choice]reached
	proofs   map[choice]*proof
	slabs    map[[2]int]*mesh.Mesh
	budget   int // facets that may still be judged exactly
}

// choice is a slab between two heights, and what prints it: a field, or, if
// negative, -1 - k for towers k.
type choice struct{ from, to, field int }

// reached is what the head says of a choice.
type reached struct {
	depth  float64
	travel bool
}

func newSearch(ctx context.Context, m *mesh.Mesh, o Options, progress func(float64)) (*search, error) {
	s := &search{
		options: o, progress: progress, mesh: m, reach: newReach(&o),
		depths: map[choice]reached{}, proofs: map[choice]*proof{}, slabs: map[[2]int]*mesh.Mesh{},
		budget: exactFacets,
	}
	level := field.Field{}
	s.levelArea = support.Overhang(m, &level, o.OverhangDeg).Area
	s.levelStarts = len(support.MidairStarts(m, &level, nil, o.Shell))
	progress(0.05)
	var err error
	if s.cuts, err = newSections(ctx, m); err != nil {
		return nil, err
	}
	progress(0.1)
	surface := fine(m)
	s.survey = newSurvey(surface, o.OverhangDeg, max(s.reach.hi, 0), o.Shell/2)
	if len(s.survey.bodies(math.Inf(-1), math.Inf(1))) > 1 {
		s.survey.plan = newPlanIndex(surface)
	}
	s.head = newHead(o.Card, surface.Vertices)
	return s, ctx.Err()
}

// exactFacets is how many facets, of zones, are judged exactly at most: what
// keeps a part of 100,000 facets within 3 seconds.
const exactFacets = 2_000_000

// plans finds plans, best first.
func (s *search) plans(ctx context.Context) ([]Plan, error) {
	var err error
	axes, main := s.cuts.axes(len(s.survey.mesh.Facets))
	level := field.Field{}
	w := s.survey.scratch()
	s.hangs = s.survey.hangs(w)
	starts := s.survey.starts(w, &level)
	s.heights = cutHeights(s.mesh, s.survey, s.cuts, starts, s.hangs, s.options.Shell, s.reach.level() && s.reach.steep())
	if s.rests, err = rests(ctx, s.mesh, s.heights); err != nil {
		return nil, err
	}
	candidates := fields(&s.reach, axes, main)
	if len(candidates) == 0 { // a head for which nothing is square: its own tilt, or level
		candidates = []Field{{Kind: field.Level}}
	}
	if err := s.judge(ctx, candidates, 0.45); err != nil {
		return nil, err
	}
	for _, improve := range []func(context.Context, *stack) error{
		func(ctx context.Context, _ *stack) error { return s.findTowers(ctx) },
		s.polish,
	} {
		best, err := s.best(ctx)
		if err != nil {
			return nil, err
		}
		if best == nil || s.good(best) {
			break
		}
		if err := improve(ctx, best); err != nil {
			return nil, err
		}
	}
	return s.list(ctx)
}

// judge judges more candidates on all processors.
func (s *search) judge(ctx context.Context, more []Field, to float64) error {
	found := make([]verdict, len(more))
	inParallel(ctx, len(more), func() func(int) {
		w := s.survey.scratch()
		return func(i int) {
			f := more[i].Lift()
			found[i] = s.survey.judge(w, &f, s.heights, nil)
		}
	})
	if err := ctx.Err(); err != nil {
		return err
	}
	s.progress(to)
	for i := range more {
		s.fields = append(s.fields, more[i])
		s.verdicts = append(s.verdicts, found[i])
		sum := make([]float64, len(s.heights))
		for k, a := range found[i].area {
			sum[k+1] = sum[k] + a
		}
		s.sum = append(s.sum, sum)
	}
	return nil
}

// inParallel does n jobs on all processors until ctx ends. worker makes one
// worker's function, with work space of its own.
func inParallel(ctx context.Context, n int, worker func() func(i int)) {
	var next atomic.Int64
	var group sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), n) {
		group.Go(func() {
			do := worker()
			for ctx.Err() == nil {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				do(i)
			}
		})
	}
	group.Wait()
}

// ceiling returns the height under which what belongs to a slab lies.
func (s *search) ceiling(to int) float64 {
	if to == len(s.heights)-1 {
		return math.Inf(1)
	}
	return s.heights[to]
}

// cost returns what a choice costs: proven, if it has been, else as surveyed.
func (s *search) cost(c choice) float64 {
	if c.field < 0 {
		t := s.towers[-1-c.field]
		if t.proof == nil {
			return t.cost
		}
		cost := 0.0
		for _, leaf := range t.root.leaves() {
			cost += zoneWeight + habitWeight*s.habit(&leaf.field, c.from)
		}
		return cost + habitWeight*s.rests[c.from].share + s.price(t.proof.area, t.proof.starts, 0, t.reached)
	}
	v := &s.verdicts[c.field]
	low, high := s.heights[c.from], s.ceiling(c.to)
	starts, fragile := v.count(low, high)
	area := s.sum[c.field][c.to] - s.sum[c.field][c.from]
	hanging := 0
	for _, h := range s.hangs {
		if h.birth >= low-onCut && h.birth < high-onCut && h.death > high {
			hanging++
		}
	}
	starts = max(starts, hanging)
	if p := s.proofs[c]; p != nil {
		area, starts = p.area, p.starts
		if starts < hanging {
			// A piece so thin that it passes for noise, on whose cap the next
			// zone would stand in mid-air.
			return math.Inf(1)
		}
	}
	r, ok := s.depths[c]
	if !ok {
		r.travel = true // as far as is known
	}
	return zoneWeight + habitWeight*(s.rests[c.from].share+s.habit(&s.fields[c.field], c.from)) + s.price(area, starts, fragile, r)
}

func (s *search) price(area float64, starts, fragile int, r reached) float64 {
	cost := area/math.Max(s.levelArea, noArea) + startWeight*float64(starts) + fragileWeight*float64(fragile)
	if r.depth > 0 || !r.travel {
		cost += headWeight
	}
	return cost
}

// habit tells between fields that judge alike, 0 to about 3: the head square
// rather than not; axes in the middle of what the zone stands on, so that shells
// run round it; cones that grow outward, whose head leans away from all,
// before inward ones and ramps.
func (s *search) habit(f *Field, from int) float64 {
	h := s.reach.off(f) / math.Max(s.reach.offSquare, 1)
	switch {
	case f.Kind == field.Level:
		return 0.2 * h
	case f.Kind == field.Ramp:
		return h + 0.6
	case f.Inward:
		h += 0.4
	}
	box := s.cuts.box
	size := math.Max(box.Max.X-box.Min.X, box.Max.Y-box.Min.Y)
	away := math.Inf(1)
	for _, p := range s.rests[from].middles {
		away = math.Min(away, distance(f.Axis, p))
	}
	return h + 0.1 + 1.2*math.Min(1, away/math.Max(size, 1))
}

// path finds the cheapest stack of exactly zones zones by dynamic programming
// over heights, lowest first, and its cost; nil if there is none.
func (s *search) path(zones int, allow func(choice) bool) ([]choice, float64) {
	n := len(s.heights) - 1
	type step struct {
		cost float64
		last choice
	}
	table := make([][]step, zones+1)
	for z := range table {
		table[z] = make([]step, n+1)
		for j := range table[z] {
			table[z][j].cost = math.Inf(1)
		}
	}
	table[0][0].cost = 0
	take := func(c choice, count int, cost float64) {
		for z := 0; z+count <= zones; z++ {
			if v := table[z][c.from].cost + cost; v < table[z+count][c.to].cost {
				table[z+count][c.to] = step{v, c}
			}
		}
	}
	for from := range n {
		for to := from + 1; to <= n; to++ {
			if zones == 1 && to-from < n {
				continue
			}
			if best, cost := s.cheapest(from, to, allow); best >= 0 {
				take(choice{from, to, best}, 1, cost)
			}
			for k, t := range s.towers {
				c := choice{from, to, -1 - k}
				if t.from == from && t.to == to && (allow == nil || allow(c)) {
					take(c, len(t.root.leaves()), s.cost(c))
				}
			}
		}
	}
	if math.IsInf(table[zones][n].cost, 1) {
		return nil, math.Inf(1)
	}
	var out []choice
	for z, j := zones, n; z > 0; {
		c := table[z][j].last
		out = append(out, c)
		j = c.from
		z -= s.zonesOf(c)
	}
	slices.Reverse(out)
	return out, table[zones][n].cost
}

// cheapest returns the field that costs least for a slab, or -1.
func (s *search) cheapest(from, to int, allow func(choice) bool) (best int, cost float64) {
	best, cost = -1, math.Inf(1)
	for f := range s.fields {
		c := choice{from, to, f}
		if allow != nil && !allow(c) {
			continue
		}
		if v := s.cost(c); v < cost {
			best, cost = f, v
		}
	}
	return best, cost
}

func (s *search) zonesOf(c choice) int {
	if c.field < 0 {
		return len(s.towers[-1-c.field].root.leaves())
	}
	return 1
}

// hang is a piece of the part that begins in mid-air when seen from below and
// joins the rest higher up.
type hang struct{ birth, death float64 }

// hangs returns the pieces that hang, by a sweep upward with union-find (0th
// persistence, as in geom/support).
func (s *survey) hangs(w *scratch) []hang {
	level := field.Field{}
	starts := s.starts(w, &level)
	if len(starts) == 0 {
		return nil
	}
	born := map[r3.Vec]bool{}
	for _, p := range starts {
		born[p] = true
	}
	n := len(s.mesh.Vertices)
	order := make([]int32, n)
	parent := make([]int32, n)
	low := make([]int32, n) // of a root: its rank of birth
	for i := range order {
		order[i], parent[i] = int32(i), int32(i)
	}
	h := w.height
	sort.Slice(order, func(i, j int) bool { return before(h, order[i], order[j]) })
	rank := make([]int32, n)
	for r, v := range order {
		rank[v] = int32(r)
		low[v] = int32(r)
	}
	find := func(v int32) int32 {
		for parent[v] != v {
			parent[v] = parent[parent[v]]
			v = parent[v]
		}
		return v
	}
	var out []hang
	for r, v := range order {
		for _, i := range s.facetOf[s.start[v]:s.start[v+1]] {
			for _, u := range s.mesh.Facets[i] {
				if rank[u] >= int32(r) {
					continue
				}
				a, b := find(u), find(v)
				if a == b {
					continue
				}
				if low[b] < low[a] {
					a, b = b, a
				}
				if p := s.mesh.Vertices[order[low[b]]]; born[p] && h[v] > p.Z+s.layer {
					out = append(out, hang{p.Z, h[v]})
				}
				parent[b] = a
			}
		}
	}
	return out
}
