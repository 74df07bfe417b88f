package section

import (
	"math"
	"slices"

	"conewright/geom/field"

	"gonum.org/v1/gonum/spatial/r2"
)

// Shells returns the lines of the shells z + f = level within the face, as
// polylines that stray from the true curve by at most tol, mm. Levels must
// rise.
//
// The face is warped first: then shells are level lines, and a shell's stretch
// runs between two crossings of the warped outline.
func Shells(face Face, f field.Field, levels []float64, tol float64) [][]r2.Vec {
	s := shells{field: f, y: face.Y, tol: tol}
	crossings := make([][]float64, len(levels))
	for _, loop := range face.Loops {
		warped := s.warp(loop)
		for i, p := range warped {
			cross(p, warped[(i+1)%len(warped)], levels, crossings)
		}
	}
	var lines [][]r2.Vec
	for i, xs := range crossings {
		slices.Sort(xs)
		for k := 0; k+1 < len(xs); k += 2 {
			if xs[k+1]-xs[k] > tol {
				lines = append(lines, s.line(xs[k], xs[k+1], levels[i]))
			}
		}
	}
	return lines
}

// cross files where the outline's edge from p to q crosses the levels.
func cross(p, q r2.Vec, levels []float64, crossings [][]float64) {
	low, high := min(p.Y, q.Y), max(p.Y, q.Y)
	for i, _ := slices.BinarySearch(levels, low); i < len(levels) && levels[i] < high; i++ {
		x := p.X + (levels[i]-p.Y)/(q.Y-p.Y)*(q.X-p.X)
		crossings[i] = append(crossings[i], x)
	}
}

type shells struct {
	field  field.Field
	y, tol float64
}

// warp lifts a loop, cut so finely that straight edges stay within tol.
func (s *shells) warp(loop []r2.Vec) []r2.Vec {
	var warped []r2.Vec
	for i, p := range loop {
		q := loop[(i+1)%len(loop)]
		for _, t := range s.cuts(p.X, q.X) {
			x := p.X + t*(q.X-p.X)
			warped = append(warped, r2.Vec{X: x, Y: p.Y + t*(q.Y-p.Y) + s.lift(x)})
		}
	}
	return warped
}

// line returns the shell at level from x0 to x1.
func (s *shells) line(x0, x1, level float64) []r2.Vec {
	var line []r2.Vec
	for _, t := range append(s.cuts(x0, x1), 1) {
		x := x0 + t*(x1-x0)
		line = append(line, r2.Vec{X: x, Y: level - s.lift(x)})
	}
	return line
}

func (s *shells) lift(x float64) float64 { return s.field.At(r2.Vec{X: x, Y: s.y}) }

// nearCorner is the share of tol within which the plane runs through a corner of
// the lift itself.
const nearCorner = 0.1

// cuts returns the t in [0, 1) between which the lift along x0..x1 is straight
// within tol, 0 first.
func (s *shells) cuts(x0, x1 float64) []float64 {
	cuts := []float64{0}
	if s.field.Linear() || x0 == x1 {
		return cuts
	}
	at := func(t float64) r2.Vec { return r2.Vec{X: x0 + t*(x1-x0), Y: s.y} }
	whole := s.field.Along(at(0), at(1))
	from := 0.0
	for _, to := range append(whole.Kinks(nil, nearCorner*s.tol), 1) {
		if from > 0 {
			cuts = append(cuts, from)
		}
		along := s.field.Along(at(from), at(to))
		for t := along.Reach(0, s.tol); t < 1 && len(cuts) < mostCuts; t = along.Reach(t, s.tol) {
			cuts = append(cuts, from+t*(to-from))
		}
		from = to
	}
	return cuts
}

// mostCuts bounds the pieces of one line, whatever tolerance is asked for.
const mostCuts = 4096

// Levels returns the values that z + f takes in a face: its least and greatest.
func Levels(face Face, f field.Field) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	s := shells{field: f, y: face.Y, tol: 0.05}
	for _, loop := range face.Loops {
		for _, p := range s.warp(loop) {
			low, high = math.Min(low, p.Y), math.Max(high, p.Y)
		}
	}
	return low, high
}
