package section

import (
	"context"
	"errors"
	"fmt"
	"math"
	"sort"

	"gonum.org/v1/gonum/spatial/r3"

	"conewright/geom/mesh"
	"conewright/geom/parallel"
)

// bandLen is how many levels are cut at a time by one goroutine: the list of a
// band's facets is made once for them.
const bandLen = 16

// sweep cuts a mesh at many levels of a value a vertex.
type sweep struct {
	mesh   *mesh.Mesh
	values []float64 // one a vertex
	levels []float64 // ascending
	across []int32   // the facet across side k of facet i stands at 3 i + k; -1: none
	open   bool      // some side has none
	bands  [][]int32 // facets that some level of the band cuts, ascending
}

func newSweep(m *mesh.Mesh, values, levels []float64) (*sweep, error) {
	for i, l := range levels {
		if math.IsNaN(l) || math.IsInf(l, 0) {
			return nil, fmt.Errorf("level %d is %v: it must be finite", i, l)
		}
		if i > 0 && l < levels[i-1] {
			return nil, fmt.Errorf("level %d, %v, lies under the one before, %v: they must ascend", i, l, levels[i-1])
		}
	}
	for i, v := range values {
		if p := m.Vertices[i]; v-v != 0 || p.X-p.X != 0 || p.Y-p.Y != 0 {
			return nil, fmt.Errorf("vertex %d is at %v: coordinates must be finite", i, p)
		}
	}
	if len(m.Facets) > math.MaxInt32/3 {
		return nil, errors.New("too many facets")
	}
	s := &sweep{mesh: m, values: values, levels: levels}
	s.across, s.open = neighbours(m)
	s.fillBands()
	return s, nil
}

// span returns the levels that cut facet i, from the first up to the last one
// excluded: those above its least value, up to its greatest.
func (s *sweep) span(i int) (first, end int) {
	t := s.mesh.Facets[i]
	a, b, c := s.values[t[0]], s.values[t[1]], s.values[t[2]]
	least, most := min(a, b, c), max(a, b, c)
	first = sort.Search(len(s.levels), func(k int) bool { return s.levels[k] > least })
	end = first
	if first < len(s.levels) && s.levels[first] <= most {
		end += sort.Search(len(s.levels)-first, func(k int) bool { return s.levels[first+k] > most })
	}
	return first, end
}

func (s *sweep) fillBands() {
	s.bands = make([][]int32, (len(s.levels)+bandLen-1)/bandLen)
	for i := range s.mesh.Facets {
		if first, end := s.span(i); first < end {
			for b := first / bandLen; b <= (end-1)/bandLen; b++ {
				s.bands[b] = append(s.bands[b], int32(i))
			}
		}
	}
}

// run cuts at every level, several bands at a time, and hands each cut to use,
// which may keep nothing of it but points. use is called from several
// goroutines, once for each level.
func (s *sweep) run(ctx context.Context, use func(level int, c *cut)) error {
	return parallel.Loop{}.Run(ctx, len(s.bands), func() func(int) error {
		c := &cut{sweep: s, seen: make([]int32, len(s.mesh.Facets))}
		return func(b int) error {
			for level := b * bandLen; level < min((b+1)*bandLen, len(s.levels)); level++ {
				c.make(level, s.bands[b])
				use(level, c)
			}
			return nil
		}
	})
}

// cut is the cut at one level. Its slices are used again for the next.
type cut struct {
	*sweep
	level  float64
	stamp  int32
	seen   []int32 // per facet: the stamp of the last cut that followed it
	active []int32 // facets that this level cuts
	points []r3.Vec
	loops  [][]r3.Vec // parts of points
	chains [][]r3.Vec // the same; what begins and ends at an open side
}

// make follows all curves of a level through the facets it cuts.
func (c *cut) make(level int, facets []int32) {
	c.level, c.stamp = c.levels[level], int32(level)+1
	c.points, c.loops, c.chains = c.points[:0], c.loops[:0], c.chains[:0]
	c.active = c.active[:0]
	for _, i := range facets {
		if c.crosses(i) {
			c.active = append(c.active, i)
		}
	}
	if c.open { // chains first, from where they begin
		for _, i := range c.active {
			if _, down := c.sides(i); c.seen[i] != c.stamp && c.across[3*i+int32(down)] < 0 {
				c.follow(i, down)
			}
		}
	}
	for _, i := range c.active {
		if c.seen[i] != c.stamp {
			c.follow(i, -1)
		}
	}
}

func (c *cut) crosses(i int32) bool {
	t := c.mesh.Facets[i]
	above := c.values[t[0]] >= c.level
	return above != (c.values[t[1]] >= c.level) || above != (c.values[t[2]] >= c.level)
}

// sides returns the side of facet i along which the value rises through the
// level, and the side along which it falls. With solid on the left, the segment
// of the cut runs from the falling side to the rising one.
func (c *cut) sides(i int32) (up, down int) {
	t := c.mesh.Facets[i]
	above := [3]bool{c.values[t[0]] >= c.level, c.values[t[1]] >= c.level, c.values[t[2]] >= c.level}
	for k := range 3 {
		switch from, to := above[k], above[(k+1)%3]; {
		case !from && to:
			up = k
		case from && !to:
			down = k
		}
	}
	return up, down
}

// follow follows the curve through facet i until it closes or comes to an open
// side. begin is the open side where it begins, or -1.
func (c *cut) follow(i int32, begin int) {
	start := len(c.points)
	if begin >= 0 {
		t := c.mesh.Facets[i]
		c.points = append(c.points, c.at(t[(begin+1)%3], t[begin]))
	}
	closed := false
	for i >= 0 && !closed {
		c.seen[i] = c.stamp
		up, _ := c.sides(i)
		t := c.mesh.Facets[i]
		c.points = append(c.points, c.at(t[up], t[(up+1)%3]))
		i = c.across[3*i+int32(up)]
		closed = i >= 0 && c.seen[i] == c.stamp
	}
	if closed {
		c.loops = append(c.loops, c.points[start:])
	} else {
		c.chains = append(c.chains, c.points[start:])
	}
}

// at returns the place of the level between the vertices below and above. It
// doesn't depend on the facet that asks.
func (c *cut) at(below, above int32) r3.Vec {
	a, b := c.mesh.Vertices[below], c.mesh.Vertices[above]
	va, vb := c.values[below], c.values[above]
	if vb == c.level {
		return b
	}
	t := (c.level - va) / (vb - va)
	return r3.Vec{X: a.X + t*(b.X-a.X), Y: a.Y + t*(b.Y-a.Y), Z: a.Z + t*(b.Z-a.Z)}
}
