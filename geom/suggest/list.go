package suggest

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"

	"conewright/geom/field"
)

// stack is a plan in the making: slabs from below, all proven.
type stack struct {
	choices []choice
	cost    float64
	figures Figures
	foot    bool // the same as another, on a level foot
}

// good reports whether another zone could hardly earn itself.
func (s *search) good(b *stack) bool {
	own := float64(b.figures.Zones) * (zoneWeight + 2*habitWeight)
	return b.figures.meets() && b.cost-own <= zoneWeight
}

// best finds the cheapest stack of any number of zones.
func (s *search) best(ctx context.Context) (*stack, error) {
	var best *stack
	for zones := 1; zones <= maxZones; zones++ {
		b, err := s.proven(ctx, zones, nil)
		if err != nil {
			return nil, err
		}
		if b != nil && (best == nil || b.cost < best.cost) {
			best = b
		}
		if best != nil && s.good(best) {
			break // more zones can't earn themselves
		}
	}
	return best, nil
}

// proven finds the cheapest stack of so many zones of which every slab has been
// proven. What a proof finds wanting makes the next best come up; when the
// budget is spent, what has been proven must do.
func (s *search) proven(ctx context.Context, zones int, allow func(choice) bool) (*stack, error) {
	for {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		path, cost := s.path(zones, allow)
		if path == nil {
			return nil, nil
		}
		sure := true
		for _, c := range path {
			if _, ok := s.depths[c]; !ok && c.field >= 0 {
				s.clears(c)
				sure = false
			}
		}
		if !sure {
			if _, after := s.path(zones, allow); after > cost+1e-9 {
				continue // the head came in the way
			}
		}
		sure = true
		for _, c := range path {
			if s.proof(c) == nil {
				sure = false
				if _, err := s.prove(ctx, c); errors.Is(err, errSpent) {
					return s.fromProven(zones, allow), nil
				} else if err != nil {
					return nil, err
				}
			}
		}
		if sure {
			return &stack{choices: path, cost: cost, figures: s.figures(path)}, nil
		}
	}
}

// fromProven finds the cheapest stack among what has been proven; nil if there
// is none.
func (s *search) fromProven(zones int, allow func(choice) bool) *stack {
	path, cost := s.path(zones, func(c choice) bool {
		return s.proof(c) != nil && (allow == nil || allow(c))
	})
	if path == nil {
		return nil
	}
	return &stack{choices: path, cost: cost, figures: s.figures(path)}
}

// figures sums up what was proven of a stack.
func (s *search) figures(path []choice) Figures {
	f := Figures{LevelArea: s.levelArea, LevelStarts: s.levelStarts}
	for _, c := range path {
		p, r := s.proof(c), s.clears(c)
		f.Zones += s.zonesOf(c)
		f.OverhangArea += p.area
		f.MidairStarts += p.starts
		f.Shells += p.shells
		f.WarpedHeight = math.Max(f.WarpedHeight, p.height)
		f.HeadDepth = math.Max(f.HeadDepth, r.depth)
		for _, l := range s.node(c, "").Leaves() {
			f.OffSquareDeg = math.Max(f.OffSquareDeg, s.reach.off(&l.Field))
		}
		if !r.travel {
			f.HeadHints = []string{"the machine's travel ends before the head gets everywhere"}
		}
	}
	if f.OffSquareDeg > s.reach.offSquare+1e-6 {
		f.HeadHints = append(f.HeadHints, fmt.Sprintf("the nozzle would stand %.3g degrees off square, %.3g is the most that is useful", f.OffSquareDeg, s.reach.offSquare))
	}
	if f.HeadDepth > 0 {
		f.HeadHints = append(f.HeadHints, fmt.Sprintf("the head would reach %.1f mm into what is printed", f.HeadDepth))
	}
	if d := s.head.underBed(&s.reach); d > 0.01 {
		f.HeadHints = append(f.HeadHints, fmt.Sprintf("the head's lower side reaches %.1f mm under its rim: it meets the bed before the tip does", d))
	}
	return f
}

// list gathers up to MaxPlans stacks of different kinds, best first.
func (s *search) list(ctx context.Context) ([]Plan, error) {
	var stacks []*stack
	add := func(zones int, allow func(choice) bool) error {
		b, err := s.proven(ctx, zones, allow)
		if err != nil || b == nil {
			return err
		}
		for _, o := range stacks {
			if s.alike(o, b) {
				return nil
			}
		}
		stacks = append(stacks, b)
		return nil
	}
	kind := func(ok func(*Field) bool) func(choice) bool {
		return func(c choice) bool { return c.field >= 0 && ok(&s.fields[c.field]) }
	}
	for zones := 1; zones <= maxZones; zones++ {
		if err := add(zones, nil); err != nil {
			return nil, err
		}
		if len(stacks) > 0 && s.good(stacks[len(stacks)-1]) {
			break
		}
	}
	for _, k := range []func(*Field) bool{
		func(f *Field) bool { return f.Kind == field.Cone && !f.Inward },
		func(f *Field) bool { return f.Kind == field.Cone && f.Inward },
		func(f *Field) bool { return f.Kind == field.Ramp },
		func(f *Field) bool { return f.Kind == field.Level },
	} {
		if err := add(1, kind(k)); err != nil {
			return nil, err
		}
	}
	if err := s.addFoot(ctx, &stacks); err != nil {
		return nil, err
	}
	if len(stacks) == 0 {
		return nil, errors.New("suggest: no field can be judged on this part")
	}
	sort.SliceStable(stacks, func(i, j int) bool { return s.better(stacks[i], stacks[j]) })
	for _, b := range stacks {
		if b.figures.Zones == 1 && s.single == nil {
			s.single = b
		}
	}
	for _, c := range stacks[0].choices {
		if p := s.proof(c); p.starts > 0 {
			s.firstStart = p.at
			break
		}
	}
	var plans []Plan
	for _, b := range s.worthwhile(stacks) {
		plans = append(plans, Plan{Zones: s.tree(b.choices, 0), Figures: b.figures})
	}
	return plans, nil
}

// addFoot adds the best stack once more on a level foot, where the head allows
// level layers, the best begins with something else and the cut is there.
func (s *search) addFoot(ctx context.Context, stacks *[]*stack) error {
	var best *stack
	for _, b := range *stacks {
		if best == nil || s.better(b, best) {
			best = b
		}
	}
	if !s.reach.level() || best == nil || best.choices[0].field < 0 || best.choices[0].to == 1 {
		return nil
	}
	first := best.choices[0]
	if s.fields[first.field].Kind == field.Level || s.heights[1] > s.heights[0]+1.5*footShells*s.options.Shell {
		return nil
	}
	b, err := s.proven(ctx, best.figures.Zones+1, func(c choice) bool {
		switch {
		case c.from == 0:
			return c.to == 1 && c.field >= 0 && s.fields[c.field].Kind == field.Level
		case c.from == 1:
			return c.to == first.to && c.field == first.field
		}
		return slices.Contains(best.choices, c)
	})
	if err != nil || b == nil {
		return err
	}
	b.foot = true
	if b.figures.MidairStarts <= best.figures.MidairStarts && b.figures.OverhangArea <= best.figures.OverhangArea+0.02*s.levelArea+noArea {
		*stacks = append(*stacks, b)
	}
	return nil
}

// better reports whether a goes before b.
func (s *search) better(a, b *stack) bool {
	if a.figures.meets() != b.figures.meets() {
		return a.figures.meets()
	}
	return a.cost < b.cost
}

// worthwhile keeps the stacks, best first, that have something to say for
// themselves: none that the head spoils if another does without, and none that
// is no better than a simpler one before it.
func (s *search) worthwhile(stacks []*stack) []*stack {
	kept := stacks[:1]
	for _, b := range stacks[1:] {
		f := &b.figures
		useless := f.HeadDepth > 0 || len(kept) == MaxPlans
		for _, o := range kept {
			g := &o.figures
			useless = useless || g.Zones <= f.Zones && !b.foot && !s.otherwise(o, b) &&
				g.OverhangArea <= f.OverhangArea+noArea && g.MidairStarts <= f.MidairStarts
		}
		if !useless {
			kept = append(kept, b)
		}
	}
	return kept
}

// otherwise reports whether two stacks print in a different manner, so that
// one may suit where the other is no better by its figures: a field of another
// kind for the whole part, which carries something that level layers don't.
func (s *search) otherwise(a, b *stack) bool {
	if len(a.choices) > 1 || len(b.choices) > 1 {
		return false
	}
	if a.choices[0].field < 0 || b.choices[0].field < 0 {
		return true
	}
	f, g := &s.fields[a.choices[0].field], &s.fields[b.choices[0].field]
	return (f.Kind != g.Kind || f.Inward != g.Inward) && b.figures.OverhangArea < 0.5*s.levelArea
}

// alike reports whether two stacks are the same plan.
func (s *search) alike(a, b *stack) bool {
	if len(a.choices) != len(b.choices) {
		return false
	}
	for i := range a.choices {
		if a.choices[i] != b.choices[i] {
			return false
		}
	}
	return true
}

// tree makes zones of a stack, from slab k on.
func (s *search) tree(path []choice, k int) *Node {
	slab := s.node(path[k], name(k, len(path)))
	if k == 0 && len(path) > 1 && path[0].to == 1 && slab.Cut == nil && slab.Field.Kind == field.Level && s.heights[1] <= s.heights[0]+1.5*footShells*s.options.Shell {
		slab.Name = footName
	}
	if k == len(path)-1 {
		return slab
	}
	cut := s.plane(path[k].to)
	return &Node{Cut: &cut, Under: slab, Over: s.tree(path, k+1)}
}

// node makes a zone of a choice, or several of towers, side by side.
func (s *search) node(c choice, name string) *Node {
	if c.field >= 0 {
		return &Node{Name: name, Field: s.fields[c.field]}
	}
	n := 0
	var make func(t *tower) *Node
	make = func(t *tower) *Node {
		if t.cut != nil {
			return &Node{Cut: t.cut, Under: make(t.under), Over: make(t.over)}
		}
		n++
		return &Node{Name: fmt.Sprintf("%s-%d", name, n), Field: t.field}
	}
	return make(s.towers[-1-c.field].root)
}

// footName names a level zone of a few shells on the bed.
const footName = "foot"

// name names slab k of n.
func name(k, n int) string {
	switch {
	case n == 1:
		return "part"
	case k == 0:
		return "lower"
	case k == n-1:
		return "upper"
	case n == 3:
		return "middle"
	}
	return fmt.Sprintf("middle-%d", k)
}
