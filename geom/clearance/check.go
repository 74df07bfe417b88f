package clearance

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"sync"
	"sync/atomic"

	"conewright/geom/machine"
)

// Check moves the head through everything that was added. Progress (may be
// nil) is called with 0 to 1, from one goroutine at a time. The report is the
// same whatever the number of workers. The only error is the context's.
func (c *Checker) Check(ctx context.Context, progress func(done float64)) (Report, error) {
	if progress == nil {
		progress = func(float64) {}
	}
	g, err := c.deposit(ctx)
	if err != nil {
		return Report{}, fmt.Errorf("clearance: sort beads: %w", err)
	}
	progress(0.1)
	parts, err := c.sweep(ctx, g, progress)
	if err != nil {
		return Report{}, fmt.Errorf("clearance: move the head: %w", err)
	}
	return c.report(parts), nil
}

// chunk is the number of records that are checked as one. The least clearance
// so far makes the search quick and begins anew in each chunk, which makes the
// result independent of who checks what when.
const chunk = 2048

// result is what one chunk gave.
type result struct {
	least, bed Nearest
	moves      int
	groups     groups
}

// sweep checks all chunks, by several goroutines.
func (c *Checker) sweep(ctx context.Context, g *grid, progress func(float64)) ([]result, error) {
	n := (c.n + chunk - 1) / chunk
	results := make([]result, n)
	workers := c.o.Workers
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	var next, done atomic.Int64
	var wg sync.WaitGroup
	var mu sync.Mutex
	shared := c.solids()
	for range min(workers, n) {
		wg.Add(1)
		go func() {
			defer wg.Done()
			s := &search{c: c, g: g, solids: shared, sparse: c.sparse()}
			for ctx.Err() == nil {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				results[i] = s.chunk(ctx, i*chunk, min((i+1)*chunk, c.n))
				mu.Lock()
				progress(0.1 + 0.9*float64(done.Add(1))/float64(n))
				mu.Unlock()
			}
		}()
	}
	wg.Wait()
	return results, ctx.Err()
}

// solids is what the head may meet beside printed material, and its own lowest
// places.
type solids struct {
	drop, dropFree lowest // of the whole head, and of what is beyond tip_free
	obstacles      []obstacle
}

func (c *Checker) solids() solids {
	s := solids{drop: c.head.lowest(0), dropFree: c.head.lowest(c.head.free)}
	for _, b := range c.o.Obstacles {
		s.obstacles = append(s.obstacles, newObstacle(b))
	}
	return s
}

// chunk checks records from to to-1.
func (s *search) chunk(ctx context.Context, from, to int) result {
	s.best = s.c.o.LookOut
	s.at = Nearest{Distance: s.best}
	s.bestBed = Nearest{Distance: math.Inf(1)}
	s.probed = 0
	r := result{groups: groups{}}
	for i := max(from, 1); i < to && ctx.Err() == nil; i++ {
		if s.c.rec(i).jump {
			continue
		}
		if s.move(i, r.groups) {
			r.moves++
			s.probed++
		}
	}
	s.probed = 0 // refine is to look at everything
	s.refine()
	r.least, r.bed = s.at, s.bestBed
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
	s.a, s.b = machine.Pose{Tip: a.tip(), Azimuth: a.azimuth}, machine.Pose{Tip: b.tip(), Azimuth: b.azimuth}
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
		c := Collision{Part: h.part, Target: t, Line: int(b.line), Zone: int(b.zone), Step: i, Moves: 1,
			Depth: h.depth, At: h.at, DeepLine: int(b.line), Obstacle: obstacle}
		if t == Material {
			c.LaidLine, c.LaidZone = int(s.c.rec(h.laid).line), int(s.c.rec(h.laid).zone)
		}
		g.add(c)
	}
	add(s.bed(s.drop, s.dropFree), Bed, 0)
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

// report puts the chunks together, in their order.
func (c *Checker) report(parts []result) Report {
	r := Report{Steps: c.steps, Beads: c.beads,
		Least: Nearest{Distance: c.o.LookOut}, LeastBed: Nearest{Distance: math.Inf(1)}}
	all := groups{}
	for _, p := range parts {
		r.Moves += p.moves
		if p.least.Distance < r.Least.Distance {
			r.Least = p.least
		}
		if p.bed.Distance < r.LeastBed.Distance {
			r.LeastBed = p.bed
		}
		for _, k := range p.groups.keys() {
			all.merge(k, p.groups[k])
		}
	}
	r.Collisions = all.list()
	r.Groups = len(r.Collisions)
	r.Collisions = r.Collisions[:min(r.Groups, mostListed)]
	c.number(&r)
	return r
}

// number turns the numbers of records into those of steps and lines.
func (c *Checker) number(r *Report) {
	for _, n := range [2]*Nearest{&r.Least, &r.LeastBed} {
		if n.Step == 0 {
			continue
		}
		n.Line, n.Zone = int(c.rec(n.Step).line), int(c.rec(n.Step).zone)
		if n.Target == Material {
			n.LaidLine, n.LaidZone = int(c.rec(n.laid).line), int(c.rec(n.laid).zone)
		}
		n.laid, n.t, n.half = 0, 0, 0
	}
	jumps := make([]int, 0, 8) // records that are no steps
	for i := range c.n {
		if c.rec(i).jump {
			jumps = append(jumps, i)
		}
	}
	step := func(rec int) int {
		n := 0
		for _, j := range jumps {
			if j < rec {
				n++
			}
		}
		return rec - n + 1
	}
	for _, n := range [2]*Nearest{&r.Least, &r.LeastBed} {
		if n.Step > 0 {
			n.Step = step(n.Step)
		}
	}
	for i := range r.Collisions {
		r.Collisions[i].Step = step(r.Collisions[i].Step)
	}
}
