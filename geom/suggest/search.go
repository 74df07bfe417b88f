package suggest

import (
	"context"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/field"
	"conewright/geom/mesh"
	"conewright/geom/overhang"
	"conewright/geom/parallel"
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

func newSearch(ctx context.Context, m *mesh.Mesh, o Options, progress func(float64)) (*search, error) {
	s := &search{
		options: o, progress: progress, mesh: m, reach: newReach(&o),
		depths: map[choice]reached{}, proofs: map[choice]*proof{}, slabs: map[[2]int]*mesh.Mesh{},
		budget: exactFacets,
	}
	level := field.Field{}
	s.levelArea = overhang.Find(m, &level, o.OverhangDeg).Area
	s.levelStarts = len(overhang.MidairStarts(m, &level, nil, o.Shell))
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
	candidates := s.reach.reachable(append(fields(&s.reach, axes, main), s.cuts.ridges(&s.reach)...))
	if len(candidates) == 0 { // a head for which nothing is square: its own tilt, or level
		candidates = []Field{{Kind: Level}}
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
	err := parallel.Loop{}.Run(ctx, len(more), func() func(int) error {
		w := s.survey.scratch()
		return func(i int) error {
			f := more[i].Lift()
			found[i] = s.survey.judge(w, &f, s.heights, nil)
			return nil
		}
	})
	if err != nil {
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
