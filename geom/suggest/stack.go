package suggest

import (
	"context"
	"errors"
	"fmt"
	"math"
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

// better reports whether a goes before b.
func (s *search) better(a, b *stack) bool {
	if a.figures.meets() != b.figures.meets() {
		return a.figures.meets()
	}
	return a.cost < b.cost
}
