package suggest

import (
	"context"
	"slices"
	"sort"

	"conewright/geom/message"
)

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
		func(f *Field) bool { return f.Kind == Cone && !f.Inward },
		func(f *Field) bool { return f.Kind == Cone && f.Inward },
		func(f *Field) bool { return f.Kind == Ridge },
		func(f *Field) bool { return f.Kind == Ramp },
		func(f *Field) bool { return f.Kind == Level },
	} {
		if err := add(1, kind(k)); err != nil {
			return nil, err
		}
	}
	if err := add(1, kind(s.reach.isOwn)); err != nil {
		return nil, err
	}
	if err := s.addFoot(ctx, &stacks); err != nil {
		return nil, err
	}
	if len(stacks) == 0 {
		return nil, message.Errorf("no field can be judged on this part")
	}
	sort.SliceStable(stacks, func(i, j int) bool { return s.better(stacks[i], stacks[j]) })
	s.ownFirst(stacks)
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
	if s.fields[first.field].Kind == Level || s.heights[1] > s.heights[0]+1.5*footShells*s.options.Shell {
		return nil
	}
	b, err := s.proven(ctx, best.figures.Zones+1, func(c choice) bool {
		switch {
		case c.from == 0:
			return c.to == 1 && c.field >= 0 && s.fields[c.field].Kind == Level
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
			useless = useless || !s.own(b) && g.Zones <= f.Zones && !b.foot && !s.otherwise(o, b) &&
				g.OverhangArea <= f.OverhangArea+noArea && g.MidairStarts <= f.MidairStarts
		}
		if !useless {
			kept = append(kept, b)
		}
	}
	return kept
}

// ownFirst moves the machine's own ramp to the front where the best stack is no better
// by its figures.
func (s *search) ownFirst(stacks []*stack) {
	i := slices.IndexFunc(stacks, s.own)
	if i <= 0 {
		return
	}
	own, f, g := stacks[i], &stacks[i].figures, &stacks[0].figures
	if f.MidairStarts <= g.MidairStarts && f.HeadDepth <= g.HeadDepth && f.OverhangArea < g.OverhangArea+noArea {
		copy(stacks[1:], stacks[:i])
		stacks[0] = own
	}
}

// own reports whether a stack is the machine's own ramp: it is always offered.
func (s *search) own(b *stack) bool {
	return len(b.choices) == 1 && b.choices[0].field >= 0 && s.reach.isOwn(&s.fields[b.choices[0].field])
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
