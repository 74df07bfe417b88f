// Package calibrate finds how the tip of a swivelling head stands to its axis:
// from readings of the tip's place at several swivel words, and with a small
// test motion that shows whether the card is right.
//
// Lengths are mm; swivel words and zero degrees, as on the card.
package calibrate

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r2"
)

// Reading is where the tip was found, measured on the bed, when the swivel stood
// at a word; X and Y words of the machine were the same for all readings.
type Reading struct {
	Word float64 // degrees
	Tip  r2.Vec
}

// Value is a figure and its standard uncertainty.
type Value struct{ V, U float64 }

// Result is what readings tell. The tip is taken to stand in the head's plane of
// lean, on the side opposite to the lean or toward it, so that its direction
// tells the swivel's zero.
type Result struct {
	Sense    float64 // +1 or -1, whichever fits the readings better
	Offset   Value   // tip from the swivel axis along the lean; negative: behind the axis
	Zero     Value   // word at azimuth 0, within half a turn of the given one
	Axis     r2.Vec  // where the swivel axis stands
	Residual float64 // root of the mean square distance of readings from the fit
	Other    float64 // the same with the other sense: near Residual means the sense can't be told
}

// MinReadings is the least number of readings: four leave enough to tell the
// uncertainty, and a blunder.
const MinReadings = 4

// ErrReadings is wrapped by errors about readings that tell too little.
var ErrReadings = errors.New("calibrate: the readings tell too little")

// Fit finds offset and zero by least squares. zero is the card's present zero,
// and forward tells whether the tip stands toward the lean from the swivel axis.
//
// The tip stands at c + R(sense x word) v: linear in c and v, so that the fit of
// a circle with known angles needs no start value. Uncertainties are those of
// linear least squares, s^2 (A^T A)^-1, carried over to length and direction of v
// (from memory; any text on least squares has it).
func Fit(readings []Reading, zero float64, forward bool) (Result, error) {
	if err := check(readings); err != nil {
		return Result{}, err
	}
	a, errA := fit(readings, 1)
	b, errB := fit(readings, -1)
	if errA != nil || errB != nil {
		return Result{}, fmt.Errorf("%w: the words are too near each other; spread them over a whole turn", ErrReadings)
	}
	best, other := a, b
	if b.residual < a.residual {
		best, other = b, a
	}
	return best.result(zero, forward, other.residual), nil
}

func check(readings []Reading) error {
	if len(readings) < MinReadings {
		return fmt.Errorf("%w: %d readings, at least %d are needed", ErrReadings, len(readings), MinReadings)
	}
	for i, r := range readings {
		if s := r.Word + r.Tip.X + r.Tip.Y; math.IsNaN(s) || math.IsInf(s, 0) || math.Abs(r.Tip.X)+math.Abs(r.Tip.Y) > 1e4 {
			return fmt.Errorf("%w: reading %d isn't a place on a bed", ErrReadings, i+1)
		}
	}
	return nil
}

// solution is one fit: centre, v, and the covariance of v.
type solution struct {
	sense    float64
	c, v     r2.Vec
	cov      [3]float64 // xx, xy, yy of v
	residual float64
}

func fit(readings []Reading, sense float64) (solution, error) {
	n := len(readings)
	a, y := mat.NewDense(2*n, 4, nil), mat.NewVecDense(2*n, nil)
	for i, r := range readings {
		sin, cos := math.Sincos(sense * r.Word * math.Pi / 180)
		a.SetRow(2*i, []float64{1, 0, cos, -sin})
		a.SetRow(2*i+1, []float64{0, 1, sin, cos})
		y.SetVec(2*i, r.Tip.X)
		y.SetVec(2*i+1, r.Tip.Y)
	}
	var normal, inverse mat.Dense
	normal.Mul(a.T(), a)
	if err := inverse.Inverse(&normal); err != nil {
		return solution{}, err
	}
	var x, rest mat.VecDense
	if err := x.SolveVec(a, y); err != nil {
		return solution{}, err
	}
	rest.MulVec(a, &x)
	rest.SubVec(y, &rest)
	sum := mat.Dot(&rest, &rest)
	s2 := sum / float64(2*n-4)
	return solution{
		sense: sense,
		c:     r2.Vec{X: x.AtVec(0), Y: x.AtVec(1)}, v: r2.Vec{X: x.AtVec(2), Y: x.AtVec(3)},
		cov:      [3]float64{s2 * inverse.At(2, 2), s2 * inverse.At(2, 3), s2 * inverse.At(3, 3)},
		residual: math.Sqrt(sum / float64(n)),
	}, nil
}

// result turns v = R(-sense x zero) (offset, 0) into offset and zero.
func (s *solution) result(zero float64, forward bool, other float64) Result {
	length := r2.Norm(s.v)
	r := Result{Sense: s.sense, Axis: s.c, Residual: s.residual, Other: other}
	u := r2.Unit(s.v)
	r.Offset = Value{length, math.Sqrt(u.X*u.X*s.cov[0] + 2*u.X*u.Y*s.cov[1] + u.Y*u.Y*s.cov[2])}
	direction := math.Atan2(s.v.Y, s.v.X)
	if !forward {
		r.Offset.V = -length
		direction += math.Pi
	}
	found := -s.sense * direction * 180 / math.Pi
	across := math.Sqrt(u.Y*u.Y*s.cov[0] - 2*u.X*u.Y*s.cov[1] + u.X*u.X*s.cov[2])
	r.Zero = Value{zero + math.Remainder(found-zero, 360), across / math.Max(length, 1e-9) * 180 / math.Pi}
	return r
}
