package polygon

import "gonum.org/v1/gonum/spatial/r2"

// ContourTolerance is how far a contour may move when points are dropped, mm:
// far below any bead, so that fine meshes don't make absurd numbers of moves.
const ContourTolerance = 0.003

// Simplify drops points of a closed contour (Douglas and Peucker, 1973: keep
// the farthest point of a span while it strays by more than tol). It splits at
// two far-apart points and returns nil for what is thinner than tol.
func Simplify(c []r2.Vec, tol float64) []r2.Vec {
	if len(c) <= 3 {
		return c
	}
	far := 0
	for i := range c {
		if r2.Norm2(r2.Sub(c[i], c[0])) > r2.Norm2(r2.Sub(c[far], c[0])) {
			far = i
		}
	}
	if far == 0 {
		return nil
	}
	keep := make([]bool, len(c)+1)
	keep[0], keep[far] = true, true
	markKept(c, keep, 0, far, tol*tol)
	markKept(c, keep, far, len(c), tol*tol)
	var out []r2.Vec
	for i, p := range c {
		if keep[i] {
			out = append(out, p)
		}
	}
	if len(out) < 3 {
		return nil
	}
	return out
}

// SimplifyPath drops points of an open path as Simplify does of a contour; its ends
// stay.
func SimplifyPath(path []r2.Vec, tol float64) []r2.Vec {
	if len(path) <= 2 {
		return path
	}
	keep := make([]bool, len(path))
	keep[0], keep[len(path)-1] = true, true
	markKept(path, keep, 0, len(path)-1, tol*tol)
	var out []r2.Vec
	for i, p := range path {
		if keep[i] {
			out = append(out, p)
		}
	}
	return out
}

// Clean simplifies raw contours and unites bodies that overlap.
func Clean(contours Region) (Region, error) {
	raw := make(Region, 0, len(contours))
	for _, c := range contours {
		if s := Simplify(c, ContourTolerance); s != nil {
			raw = append(raw, s)
		}
	}
	return Union(raw)
}

// markKept works on the span [lo, hi] of c, where index len(c) is c[0] again.
// An explicit stack instead of recursion bounds the depth on hostile input.
func markKept(c []r2.Vec, keep []bool, lo, hi int, tol2 float64) {
	type span struct{ lo, hi int }
	stack := []span{{lo, hi}}
	for len(stack) > 0 {
		s := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		a, b := c[s.lo], c[s.hi%len(c)]
		at, worst := -1, tol2
		for i := s.lo + 1; i < s.hi; i++ {
			if d := r2.Norm2(r2.Sub(c[i], NearestOnSegment(c[i], a, b))); d > worst {
				at, worst = i, d
			}
		}
		if at >= 0 {
			keep[at] = true
			stack = append(stack, span{s.lo, at}, span{at, s.hi})
		}
	}
}
