package suggest

import (
	"math"
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

// reached is what the head says of a choice.
type reached struct {
	depth  float64
	travel bool
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
// before inward ones and ramps. On a wall, ridges about its middle come before cones:
// their shells run along it.
func (s *search) habit(f *Field, from int) float64 {
	h := s.reach.off(f) / math.Max(s.reach.offSquare, 1)
	switch {
	case f.Kind == Level:
		return 0.2 * h
	case f.Kind == Ramp:
		return h + 0.6
	case f.Inward:
		h += 0.4
	}
	box := s.cuts.box
	size := math.Max(box.Max.X-box.Min.X, box.Max.Y-box.Min.Y)
	on, away := &s.rests[from], math.Inf(1)
	if f.Kind == Ridge {
		for _, line := range on.lines {
			away = math.Min(away, math.Max(strays(f.Line, line), strays(line, f.Line)))
		}
	} else {
		for _, p := range on.middles {
			away = math.Min(away, distance(f.Axis, p))
		}
		if on.wall {
			h += 0.5 // round about a wall
		}
	}
	return h + 0.1 + 1.2*math.Min(1, away/math.Max(size, 1))
}
