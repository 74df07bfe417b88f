package clearance

import (
	"context"
	"fmt"

	"conewright/geom/machine"
	"conewright/geom/parallel"
)

// chunk is the number of records that are checked as one. The least clearance
// so far makes the search quick and begins anew in each chunk, which makes the
// result independent of who checks what when.
const chunk = 2048

// result is what one chunk gave.
type result struct {
	least  Nearest
	moves  int
	groups groups
}

// sweep moves the head through all that is kept, by several goroutines. The
// result is the same whatever their number.
func (c *checker) sweep(ctx context.Context, progress func(float64)) ([]result, error) {
	g, err := c.deposit(ctx)
	if err != nil {
		return nil, fmt.Errorf("clearance: sort beads: %w", err)
	}

	n := (c.n + chunk - 1) / chunk
	results := make([]result, n)
	shared := c.head.solids(c.o.Obstacles)
	loop := parallel.Loop{Workers: c.o.Workers, Progress: progress}
	err = loop.Run(ctx, n, func() func(int) error {
		s := &search{c: c, g: g, solids: shared}
		return func(i int) error {
			results[i] = s.chunk(ctx, i*chunk, min((i+1)*chunk, c.n))
			return nil
		}
	})
	if err != nil {
		return nil, fmt.Errorf("clearance: move the head: %w", err)
	}
	return results, nil
}

// solids is what the head may meet beside printed material, and its own lowest
// places.
type solids struct {
	head           *shape
	drop, dropFree lowest  // of the whole head, and of what is beyond tip_free
	lean           float64 // of the head, radians, at these
	obstacles      []obstacle
}

func (s *shape) solids(obstacles []machine.Box) solids {
	out := solids{head: s, drop: s.lowest(0, 0), dropFree: s.lowest(s.free, 0)}
	for _, b := range obstacles {
		out.obstacles = append(out.obstacles, newObstacle(b))
	}
	return out
}

// lowestOf returns the lowest places of the head in a move from a to b: between two
// leans no place sinks below where it is at one of them.
func (s *solids) lowestOf(a, b machine.Pose) (drop, free lowest) {
	s.leanBy(a.Lean)
	drop, free = s.drop, s.dropFree
	if b.Lean != a.Lean {
		if s.leanBy(b.Lean); s.drop.p.Z < drop.p.Z {
			drop = s.drop
		}
		if s.dropFree.p.Z < free.p.Z {
			free = s.dropFree
		}
	}
	return drop, free
}

// lowestIn returns the lowest place of the whole head.
func (s *solids) lowestIn(a, b machine.Pose) lowest {
	drop, _ := s.lowestOf(a, b)
	return drop
}

// leanBy finds the lowest places anew where the head leans otherwise.
func (s *solids) leanBy(lean float64) {
	if lean != s.lean {
		s.drop, s.dropFree, s.lean = s.head.lowest(0, lean), s.head.lowest(s.head.free, lean), lean
	}
}

// chunk checks records from to to-1.
func (s *search) chunk(ctx context.Context, from, to int) result {
	s.best = s.c.o.LookOut
	s.at = Nearest{Distance: s.best}
	s.probed = 0
	r := result{groups: groups{}}
	for i := max(from, 1); i < to && ctx.Err() == nil; i++ {
		if s.c.rec(i).use == skipped {
			continue
		}
		if s.move(i, r.groups) {
			r.moves++
			s.probed++
		}
	}
	s.probed = 0 // refine is to look at everything
	s.refine()
	r.least = s.at
	return r
}

// refinements is the number of moments at which the piece of a move that came
// nearest is looked at again: moments of at most half a voxel become ones
// of under 0.03 mm.
const refinements = 32

// refine finds where within its piece the nearest place was nearest.
func (s *search) refine() {
	n := s.at
	if n.Step == 0 {
		return
	}
	s.begin(n.Step)
	t0, t1 := n.t-n.half, n.t+n.half
	for i := range refinements + 1 {
		t := t0 + (t1-t0)*float64(i)/refinements
		if n.Target == Obstacle {
			var h hit
			s.meet(n.Obstacle, t, t, &h)
		} else {
			s.exact = true
			s.material(t, t)
			s.exact = false
		}
	}
}

// begin turns to the move of record i.
func (s *search) begin(i int) {
	a, b := s.c.rec(i-1), s.c.rec(i)
	s.now, s.hit, s.before = i, hit{}, s.best
	s.a, s.b = a.pose(), b.pose()
}

// move checks one move against everything and reports whether it collides.
func (s *search) move(i int, g groups) (collides bool) {
	s.begin(i)
	b := s.c.rec(i)
	add := func(h hit, t Target, obstacle int) {
		if h.depth == 0 {
			return
		}
		collides = true
		c := Collision{Part: h.part, Target: t, Line: int(b.line), Zone: int(b.zone), Step: int(b.step), Moves: 1,
			Depth: h.depth, At: h.at, DeepLine: int(b.line), Obstacle: obstacle}
		if t == Material {
			c.LaidLine, c.LaidZone = int(s.c.rec(h.laid).line), int(s.c.rec(h.laid).zone)
		}
		g.add(c)
	}
	add(s.bed(s.a, s.b), Bed, 0)
	for k := range s.obstacles {
		var h hit
		s.meet(k, 0, 1, &h)
		add(h, Obstacle, k)
	}
	if s.g != nil {
		s.material(0, 1)
		add(s.hit, Material, 0)
	}
	return collides
}

// add joins what chunks gave, in their order.
func (r *Report) add(c *checker, parts []result, all groups) {
	for _, p := range parts {
		r.Moves += p.moves
		if p.least.Distance < r.Least.Distance {
			r.Least = c.named(p.least)
		}
		for _, k := range p.groups.keys() {
			all.merge(k, p.groups[k])
		}
	}
}

// named turns the numbers of records into those of steps and lines.
func (c *checker) named(n Nearest) Nearest {
	r := c.rec(n.Step)
	if n.Target == Material {
		n.LaidLine, n.LaidZone = int(c.rec(n.laid).line), int(c.rec(n.laid).zone)
	}
	n.Step, n.Line, n.Zone = int(r.step), int(r.line), int(r.zone)
	n.laid, n.t, n.half = 0, 0, 0
	return n
}
