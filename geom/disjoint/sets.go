// Package disjoint keeps disjoint sets of numbers: which vertices or facets hang
// together (union-find with path halving; Tarjan and van Leeuwen, Worst-Case
// Analysis of Set Union Algorithms, 1984; from memory).
package disjoint

// Sets holds the sets of 0 to len-1: of each number, one nearer to its root.
type Sets []int32

// New returns n sets of one number each.
func New(n int) Sets {
	s := make(Sets, n)
	for i := range s {
		s[i] = int32(i)
	}
	return s
}

// Root returns the number that stands for v's set.
func (s Sets) Root(v int32) int32 {
	for s[v] != v {
		s[v] = s[s[v]]
		v = s[v]
	}
	return v
}

// Join puts b's set into a's, whose root stands for both.
func (s Sets) Join(a, b int32) { s[s.Root(b)] = s.Root(a) }
