package disjoint

import (
	"testing"

	"pgregory.net/rapid"
)

// Against sets kept the plain way: every number with its label.
func TestSetsAreThoseOfLabels(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 40).Draw(t, "n")
		s, label := New(n), make([]int, n)
		for i := range label {
			label[i] = i
		}
		number := rapid.IntRange(0, n-1)
		for range rapid.IntRange(0, 60).Draw(t, "joins") {
			a, b := number.Draw(t, "a"), number.Draw(t, "b")
			root := s.Root(int32(a))
			s.Join(int32(a), int32(b))
			if s.Root(int32(b)) != root {
				t.Fatalf("%d joined to %d has root %d, not %d", b, a, s.Root(int32(b)), root)
			}
			from, to := label[b], label[a]
			for i := range label {
				if label[i] == from {
					label[i] = to
				}
			}
		}
		for i := range n {
			for k := range n {
				if same := s.Root(int32(i)) == s.Root(int32(k)); same != (label[i] == label[k]) {
					t.Fatalf("%d and %d together: %v", i, k, same)
				}
			}
		}
	})
}
