package overhang

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"conewright/geom/field"
)

// A disc of radius 9 over a stem of radius 5, its underside 8 high: the columns
// are a ring of 8 mm height (area by the circle's formula).
func TestUnderADiscIsARing(t *testing.T) {
	m := spindle([]r2.Vec{{X: 5, Y: 0}, {X: 5, Y: 8}, {X: 9, Y: 8}, {X: 9, Y: 12}}, 128, r2.Vec{X: 50, Y: 50})
	level := field.Field{}
	o := Find(m, &level, 45)
	want := math.Pi * (81 - 25) * 8
	if got := o.Under(m); math.Abs(got-want) > 0.01*want {
		t.Errorf("%g mm3 under the disc, want %g", got, want)
	}
}
