package suggest

import (
	"context"
	"math"
	"sort"

	"gonum.org/v1/gonum/spatial/r2"

	"conewright/geom/parallel"
)

const (
	polished    = 3  // fields that are polished for each slab
	polishEvals = 60 // judgements a field at most
)

// polish moves axes and angles of the fields that come nearest, for those slabs
// of the best stack that leave something unsupported, and adds what it finds to
// the candidates.
func (s *search) polish(ctx context.Context, best *stack) error {
	if s.reach.fixed != nil {
		return nil // what is square to the nozzle is known
	}
	type task struct {
		field Field
		slab  choice
	}
	var tasks []task
	slabs := append([]choice{{0, len(s.heights) - 1, 0}}, best.choices...)
	for i, c := range slabs {
		if i > 0 && (len(best.choices) == 1 || c.field < 0 || s.proofs[c].starts == 0 && s.proofs[c].area < 0.02*s.levelArea+noArea) {
			continue
		}
		order := make([]int, len(s.fields))
		for f := range order {
			order[f] = f
		}
		sort.SliceStable(order, func(a, b int) bool {
			return s.cost(choice{c.from, c.to, order[a]}) < s.cost(choice{c.from, c.to, order[b]})
		})
		done := 0
		for _, f := range order {
			if done == polished {
				break
			}
			if s.fields[f].Kind != Level {
				tasks = append(tasks, task{s.fields[f], c})
				done++
			}
		}
	}
	more := make([]Field, len(tasks))
	err := parallel.Loop{}.Run(ctx, len(tasks), func() func(int) error {
		w := s.survey.scratch()
		return func(i int) error {
			more[i] = s.polishOne(w, tasks[i].field, tasks[i].slab)
			return nil
		}
	})
	if err != nil {
		return err
	}
	return s.judge(ctx, more, 0.5)
}

// polishOne improves one field for one slab by compass search.
func (s *search) polishOne(w *scratch, f Field, c choice) Field {
	low, high := s.heights[c.from], s.ceiling(c.to)
	at := func(x []float64) Field {
		g := f
		g.AngleDeg = math.Max(math.Max(s.reach.lo, 1), math.Min(s.reach.hi, f.AngleDeg+x[0]))
		switch f.Kind {
		case Cone:
			g.Axis = r2.Vec{X: f.Axis.X + x[1], Y: f.Axis.Y + x[2]}
		case Ridge:
			g.Line = make([]r2.Vec, len(f.Line))
			for i, p := range f.Line {
				g.Line[i] = r2.Vec{X: p.X + x[1], Y: p.Y + x[2]}
			}
		default:
			g.TowardDeg = f.TowardDeg + 3*x[1]
		}
		return g.rounded()
	}
	value := func(x []float64) float64 {
		g := at(x)
		lift := g.Lift()
		v := s.survey.judge(w, &lift, s.heights, nil)
		cost := habitWeight * s.habit(&g, c.from)
		for k := c.from; k < c.to; k++ {
			cost += v.area[k] / math.Max(s.levelArea, noArea)
		}
		starts, fragile := v.count(low, high)
		return cost + startWeight*float64(starts) + fragileWeight*float64(fragile)
	}
	box := s.cuts.box
	step := 0.1 * math.Max(box.Max.X-box.Min.X, box.Max.Y-box.Min.Y)
	x := make([]float64, 3)
	if f.Kind == Ramp {
		x = x[:2]
	}
	return at(compass(x, []float64{2, step, step}, polishEvals, value))
}

// compass improves x by steps along the axes, forth and back, halved when none
// helps (compass search; Kolda, Lewis and Torczon, "Optimization by direct
// search", SIAM Review 45, 2003; from memory). It asks for at most evals values
// and, unlike a simplex, keeps on where a cost is flat and jumps.
func compass(x, steps []float64, evals int, value func([]float64) float64) []float64 {
	best := append([]float64(nil), x...)
	least := value(best)
	try := append([]float64(nil), x...)
	for share := 1.0; share > 1e-2; {
		moved := false
		for k := range best {
			for _, side := range [...]float64{1, -1} {
				if evals--; evals <= 0 {
					return best
				}
				copy(try, best)
				try[k] += side * share * steps[k]
				if v := value(try); v < least {
					least, moved = v, true
					copy(best, try)
					break
				}
			}
		}
		if !moved {
			share /= 2
		}
	}
	return best
}
