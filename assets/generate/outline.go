package generate

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Outlines run counter-clockwise. Those made by the same function with the same
// number of steps have the same number of points, so walls can join them.

// arc returns points from one angle to another, degrees, both ends included;
// clockwise where to < from.
func arc(centre r2.Vec, radius, from, to float64, steps int) []r2.Vec {
	var out []r2.Vec
	for i := range steps + 1 {
		sin, cos := math.Sincos((from + (to-from)*float64(i)/float64(steps)) * math.Pi / 180)
		out = append(out, r2.Vec{X: centre.X + radius*cos, Y: centre.Y + radius*sin})
	}
	return out
}

func circle(centre r2.Vec, radius float64, steps int) []r2.Vec {
	return arc(centre, radius, 0, 360, steps)[:steps]
}

// hull is what a thread round two discs on the x axis encloses.
func hull(x0, r0, x1, r1 float64, steps int) []r2.Vec {
	tangent := math.Acos((r0-r1)/(x1-x0)) * 180 / math.Pi
	right := arc(r2.Vec{X: x1}, r1, -tangent, tangent, steps)
	return append(right, arc(r2.Vec{X: x0}, r0, tangent, 360-tangent, steps)...)
}

// stadium is a rectangle with round ends: half its length between the centres
// of the ends, and their radius.
func stadium(half, radius float64, steps int) []r2.Vec {
	return hull(-half, radius, half, radius, steps)
}

// star has arms of the given half width and length (to the centre of their
// round ends), the first toward 90 degrees, with fillets between them.
func star(arms int, width, length, fillet float64, steps int) []r2.Vec {
	half := math.Pi / float64(arms)
	inner := (width + fillet) / math.Sin(half)
	var out []r2.Vec
	for i := range arms {
		deg := 90 + 360*float64(i)/float64(arms)
		sin, cos := math.Sincos(deg * math.Pi / 180)
		out = append(out, arc(r2.Vec{X: length * cos, Y: length * sin}, width, deg-90, deg+90, steps)...)
		next := deg + 180/float64(arms)
		sin, cos = math.Sincos(next * math.Pi / 180)
		turn := 180 * (1 - 1/float64(arms)*2)
		out = append(out, arc(r2.Vec{X: inner * cos, Y: inner * sin}, fillet, next+180+turn/2, next+180-turn/2, steps)...)
	}
	return out
}
