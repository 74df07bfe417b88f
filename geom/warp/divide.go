package warp

import (
	"math"

	"conewright/geom/field"
)

const (
	// evenEnough ends the search for even pieces: the last piece's gap as a
	// share of the others'.
	evenEnough = 0.7
	// evenTries bounds that search. Each try halves what is left of it.
	evenTries = 8
	// spare is the share of the tolerance that pieces leave to rounding: the
	// diagonal of an upright wall, whose gap is that of a piece, must not seem
	// to need a cut of its own.
	spare = 1e-9
	// manyCuts ends it after one try: among so many pieces a short one is lost.
	manyCuts = 1000
)

// divide appends to ts the places that cut a line into the fewest pieces whose
// gap is at most tol, evened out so that the last piece is no sliver. Two
// pieces part where the gap is greatest, if that is enough. After limit cuts
// it gives up: ok is false.
func divide(line *field.Line, tol float64, limit int, ts []float64) (cuts []float64, ok bool) {
	if !needsCut(line, tol) {
		return ts, true
	}
	tol *= 1 - spare
	start := len(ts)
	ts = stretch(line, tol, limit, ts)
	switch n := len(ts) - start; n {
	case 0: // by rounding only
	case limit:
		return ts, false
	case 1:
		ts[start] = partOnce(line, tol, ts[start])
	default:
		ts = even(line, tol, start, ts)
	}
	return ts, true
}

// partOnce returns where the gap is greatest, if both pieces keep the tolerance
// there, else the given place.
func partOnce(line *field.Line, tol, given float64) float64 {
	_, at := line.Gap(0, 1)
	first, _ := line.Gap(0, at)
	second, _ := line.Gap(at, 1)
	if first <= tol && second <= tol && at > 0 && at < 1 {
		return at
	}
	return given
}

// even moves the cuts ts[start:] so that the last piece is about as long as the
// others, by the least tolerance that needs no more pieces. Gaps go with the
// square of lengths, which gives the first guess.
func even(line *field.Line, tol float64, start int, ts []float64) []float64 {
	cuts, lo, hi := len(ts)-start, 0.0, tol
	last, _ := line.Gap(ts[len(ts)-1], 1)
	share := (float64(cuts) + math.Sqrt(last/tol)) / float64(cuts+1)
	guess := tol * share * share
	for try := 0; try < evenTries && last < evenEnough*hi && (try == 0 || cuts < manyCuts); try++ {
		n := len(ts)
		ts = stretch(line, guess, cuts, ts)
		rest, _ := line.Gap(ts[len(ts)-1], 1)
		if len(ts)-n == cuts && rest <= guess {
			copy(ts[start:], ts[n:])
			hi, last = guess, rest
		} else {
			lo = guess
		}
		ts = ts[:n]
		guess = (lo + hi) / 2
	}
	return ts
}

// stretch appends greedily stretched cuts, at most limit of them.
func stretch(line *field.Line, tol float64, limit int, ts []float64) []float64 {
	for n, t := 0, 0.0; n < limit; n++ {
		next := line.Reach(t, tol)
		if next >= 1 || next <= t {
			break
		}
		ts, t = append(ts, next), next
	}
	return ts
}
