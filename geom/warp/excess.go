package warp

import "gonum.org/v1/gonum/spatial/r2"

// excess is a gap above the tolerance: how much, where (in weights), on which
// side of which triangle (-1: inside), and at which version of it.
type excess struct {
	gap     float64
	at      r2.Vec
	side    int
	tri     int32
	version int32
}

func (e *excess) before(f *excess) bool {
	if e.gap != f.gap {
		return e.gap > f.gap
	}
	return e.tri < f.tri
}

// excesses is a heap whose first element is the greatest gap.
type excesses []excess

func (h *excesses) push(e excess) {
	s := append(*h, e)
	for i := len(s) - 1; i > 0; {
		up := (i - 1) / 2
		if !s[i].before(&s[up]) {
			break
		}
		s[i], s[up] = s[up], s[i]
		i = up
	}
	*h = s
}

func (h *excesses) pop() excess {
	s := *h
	first := s[0]
	s[0] = s[len(s)-1]
	s = s[:len(s)-1]
	for i := 0; ; {
		least := i
		for _, k := range [2]int{2*i + 1, 2*i + 2} {
			if k < len(s) && s[k].before(&s[least]) {
				least = k
			}
		}
		if least == i {
			break
		}
		s[i], s[least] = s[least], s[i]
		i = least
	}
	*h = s
	return first
}
