package planner

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"
)

func TestPoolAgreesWithTheSlowWay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 60).Draw(t, "n")
		flat := rapid.Bool().Draw(t, "flat")
		list := make([]entry, n)
		for i := range list {
			p := r2.Vec{X: rapid.Float64Range(-9, 40).Draw(t, "x"), Y: rapid.Float64Range(0, 3).Draw(t, "y")}
			if flat {
				p.Y = 1
			}
			list[i] = entry{p, i / 2}
		}
		taken := make([]bool, n)
		p := newPool(list)
		for {
			q := r2.Vec{X: rapid.Float64Range(-20, 60).Draw(t, "qx"), Y: rapid.Float64Range(-20, 20).Draw(t, "qy")}
			want, least := -1, math.Inf(1)
			for _, e := range list {
				if d := r2.Norm2(r2.Sub(e.at, q)); !taken[e.bead] && d < least {
					want, least = e.bead, d
				}
			}
			got := p.nearest(q, taken)
			if got != want {
				t.Fatalf("nearest to %v is bead %d, want %d", q, got, want)
			}
			if got < 0 {
				return
			}
			taken[got] = true
		}
	})
}
