package mesh_test

import (
	"testing"

	"conewright/geom/form"

	"gonum.org/v1/gonum/spatial/r3"
)

func TestAMeshHoldsWhatLiesInItAndNotInItsHoles(t *testing.T) {
	m := form.Joined( // two boxes side by side
		form.Box(r3.Vec{}, r3.Vec{X: 10, Y: 10, Z: 10}),
		form.Box(r3.Vec{X: 20}, r3.Vec{X: 30, Y: 10, Z: 10}),
	)
	for _, c := range []struct {
		at   r3.Vec
		want bool
	}{
		{r3.Vec{X: 5, Y: 5, Z: 5}, true}, {r3.Vec{X: 0.01, Y: 9.99, Z: 0.01}, true}, {r3.Vec{X: 25, Y: 5, Z: 5}, true},
		{r3.Vec{X: 15, Y: 5, Z: 5}, false}, {r3.Vec{X: 5, Y: 5, Z: 10.01}, false}, {r3.Vec{X: -1e4, Y: 5, Z: 5}, false},
	} {
		if got := m.Holds(c.at); got != c.want {
			t.Errorf("at %v: %v", c.at, got)
		}
	}
}
