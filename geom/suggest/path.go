package suggest

import (
	"math"
	"slices"
)

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
