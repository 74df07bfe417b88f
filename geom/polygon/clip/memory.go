package clip

// slab gives out values in blocks, so that thousands of them are one allocation,
// and the same memory serves the next sweep. Pointers into it hold until reset.
type slab[T any] struct {
	blocks [][]T
	block  int // the one in use
	used   int // of it
}

const blockSize = 512

// take returns n zero values that lie side by side.
func (s *slab[T]) take(n int) []T {
	for s.block < len(s.blocks) && s.used+n > len(s.blocks[s.block]) {
		s.block, s.used = s.block+1, 0
	}
	if s.block == len(s.blocks) {
		s.blocks = append(s.blocks, make([]T, max(n, blockSize)))
	}
	out := s.blocks[s.block][s.used : s.used+n : s.used+n]
	s.used += n
	clear(out)
	return out
}

// one returns a zero value.
func (s *slab[T]) one() *T { return &s.take(1)[0] }

func (s *slab[T]) reset() { s.block, s.used = 0, 0 }

// heights are those at which the sweep still stops: a heap, the lowest (greatest Y)
// first.
type heights []int64

func (h *heights) add(y int64) {
	a := append(*h, y)
	for i := len(a) - 1; i > 0; {
		up := (i - 1) / 2
		if a[up] >= a[i] {
			break
		}
		a[up], a[i] = a[i], a[up]
		i = up
	}
	*h = a
}

// next takes the lowest height out, as often as it was added.
func (h *heights) next() int64 {
	y := (*h)[0]
	for len(*h) > 0 && (*h)[0] == y {
		h.drop()
	}
	return y
}

func (h *heights) drop() {
	a := *h
	n := len(a) - 1
	a[0] = a[n]
	a = a[:n]
	for i := 0; ; {
		k := 2*i + 1
		if k >= n {
			break
		}
		if k+1 < n && a[k+1] > a[k] {
			k++
		}
		if a[i] >= a[k] {
			break
		}
		a[i], a[k] = a[k], a[i]
		i = k
	}
	*h = a
}
